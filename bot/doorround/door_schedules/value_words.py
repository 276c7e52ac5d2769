"""Words for field values used in door schedules. Common practice in the trade, no source.

A word maps to a value only if it is unambiguous: "concealed" is a closer, "yes" is not.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import StrEnum

from doorround.domain.door import (
    Closer,
    Fitted,
    Glazing,
    HoldOpen,
    Latch,
    Leaves,
    Material,
    SealPlace,
    Seals,
    Sign,
    Use,
)

_ANY = "(?:.* )?"
Patterns = tuple[tuple[str, StrEnum], ...]
"""Regular expressions, each matching a whole cell of normalised words; the first match wins."""

_SMOKE = r"(?:cold )?(?:smoke|brush(?:es)?|fins?|blades?|pile)"
_FIRE = r"(?:intumescents?|int|intum|heat|fire)"

WORDS: Mapping[str, Patterns] = {
    "use": (
        (r"(?:electrical |services? |elec |dry |wet |gas )?risers?(?: cupboard)?", Use.RISER),
        (r"(?:service )?ducts?|(?:service )?shafts?", Use.RISER),
        (
            r"(?:.* )?(?:plant|boiler|tank|switch|meter|lift motor|pump|server|comms)(?: ?room)?",
            Use.PLANT_ROOM,
        ),
        (r"(?:.* )?(?:cupboards?|cupbd|cpds?|cpbd|closet)", Use.CUPBOARD),
        (
            r"(?:.* )?(?:flat|apartment)(?: (?:entrance|front|entry))?|fed|front entrance flat",
            Use.FLAT_ENTRANCE,
        ),
        (
            r"(?:final|fire|emergency|escape) ?exit|final exit.*|exit|means of escape exit",
            Use.FINAL_EXIT,
        ),
        (
            r"(?:protected |escape )?(?:stairs?|stair ?case|stair ?way|stair ?well)",
            Use.STAIR,
        ),
        (r"(?:lift |entrance |stair |protected )?(?:lobby|lobbies|vestibule)", Use.LOBBY),
        (
            r"(?:(?:cross|communal|common|main|central|access|escape|protected|internal) ?)*"
            r"(?:corridors?|hallway|passage|passageway)(?: in constant use)?",
            Use.CORRIDOR,
        ),
        (
            r"(?:.* )?(?:stores?|store ?room|storage|stock ?room|refuse(?: room)?)",
            Use.STORE,
        ),
        (r"(?:.* )?office", Use.OFFICE),
        (r"(?:.* )?kitchen(?:ette)?", Use.KITCHEN),
        (r"other", Use.OTHER),
    ),
    "leaves": (
        (
            r"pair|pairs|double|doubles|2|two|dbl|dd|double leaf|2 leaf|two leaf|double doors?|pr"
            r"|leaf and a half|1 ?1/2|1\.5|one and a half|unequal pair|2 leaves|double action pair"
            r"|double swing pair",
            Leaves.PAIR,
        ),
        (
            r"single|singles|1|one|sgl|sd|sl|single leaf|1 leaf|one leaf|single swing|1 no"
            r"|single action|s",
            Leaves.ONE,
        ),
    ),
    "material": (
        (
            r"(?:.* )?(?:timber|wood|wd|wooden|hardwood|softwood|oak|ash|flaxboard|chipboard"
            r"|particleboard|graduated density|ply|plywood|veneer(?:ed)?|laminated?|solid core)"
            r"(?: .*)?",
            Material.TIMBER,
        ),
        (r"(?:.* )?(?:steel|metal|hm|galvanised)(?: .*)?", Material.STEEL),
        (r"(?:.* )?(?:aluminium|aluminum|alu|ali)(?: .*)?", Material.ALUMINIUM),
        (r"(?:.* )?(?:composite|grp|gfrp)(?: .*)?", Material.COMPOSITE),
        (r"(?:all |frameless |fully )?(?:glass|glazed)(?: door)?", Material.GLASS),
    ),
    "glazing": (
        (r"none|no|n|solid|unglazed|no glazing|no vp|no vision panel|not glazed|0", Glazing.NONE),
        (r"(?:.* )?(?:wired|georgian|gwpp|gwg|gwc)(?: .*)?", Glazing.WIRED),
        (
            r"(?:.* )?(?:clear|fire resist(?:ing|ant)|fire rated|fr glass|ceramic"
            r"|fd30 glass|fd60 glass)(?: .*)?",
            Glazing.CLEAR,
        ),
    ),
    "seals": (
        (r"none|no|n|no seals|not fitted|nil|none fitted|no strips", Seals.NONE),
        (
            rf"(?:two|2|double|twin|pair of)(?: .*)? {_FIRE}(?: .*)? {_SMOKE}(?: .*)?",
            Seals.PAIR_SMOKE,
        ),
        (
            r"(?:two|2|double|twin|pair of)(?: .*)? (?:plain|intumescents?)(?: strips?| seals?)?",
            Seals.PAIR,
        ),
        (rf"(?:.* )?{_FIRE}(?: .*)? {_SMOKE}(?: .*)?", Seals.SMOKE),
        (rf"(?:.* )?{_SMOKE}(?: .*)? {_FIRE}(?: .*)?", Seals.SMOKE),
        (
            r"combined|combination|combi|(?:combined|fire and smoke|i and s|ips|i s|int s)"
            r"(?: seals?| strips?)?",
            Seals.SMOKE,
        ),
        (
            rf"(?:plain )?{_FIRE}(?: seals?| strips?| only)*|plain|intumescent seal strips?",
            Seals.PLAIN,
        ),
    ),
    "seals_in": (
        (r"(?:in |to )?(?:the )?(?:door )?leaf|door|leaf edges?|in door", SealPlace.LEAF),
        (r"(?:in |to )?(?:the )?(?:door )?frame|lining|jambs?", SealPlace.FRAME),
    ),
    "closer": (
        (
            r"(?:(?:none|no|no closer|not fitted|n) )?(?:kept |keep )?locked(?: shut)?",
            Closer.KEPT_LOCKED,
        ),
        (r"(?:.* )?(?:floor ?springs?|floor ?mounted|fs)(?: .*)?", Closer.FLOOR_SPRING),
        (r"(?:.* )?(?:concealed|chain|jamb|in frame)(?: .*)?", Closer.CONCEALED),
        (
            r"(?:.* )?(?:overhead|ohc|oh|surface(?: mounted)?|top ?mounted|o h|rack and pinion"
            r"|cam action|slide arm|swing ?free|hold open closer)(?: .*)?",
            Closer.OVERHEAD,
        ),
        (r"none|no|n|no closer|not fitted|missing|absent|nil|none fitted", Closer.MISSING),
    ),
    "hold_open": (
        (r"none|no|n|not fitted|nil|no device|none fitted|false", HoldOpen.NONE),
        (
            r"(?:.* )?(?:acoustic|sound activated|listening|battery(?: operated)?)(?: .*)?",
            HoldOpen.ACOUSTIC,
        ),
        (
            r"(?:.* )?(?:magnets?|magnetic|electro ?mag(?:netic)?|mag|alarm linked|swing ?free"
            r"|linked to (?:the )?(?:fire )?alarm|em|emho|mag lock|wired)(?: .*)?",
            HoldOpen.ALARM_LINKED,
        ),
    ),
    "latch": (
        (
            r"none|no|n|no latch|push ?pull|push plate|push plates|push and pull|nil|not fitted",
            Latch.NONE,
        ),
        (
            r"(?:.* )?(?:sash ?lock|dead ?lock|mortice lock|mortise lock|night ?latch|cylinder"
            r"|budget lock|fb lock|euro cylinder|rim lock|lock|lockset)(?: .*)?",
            Latch.LOCK,
        ),
        (
            r"(?:.* )?(?:latch|tubular latch|mortice latch|mortise latch|lever latch"
            r"|panic (?:bar|latch)|push bar)(?: .*)?",
            Latch.LATCH,
        ),
    ),
    "threshold_seal": (
        (
            r"(?:.* )?(?:drop(?: ?down)? seal|drop ?seal|auto(?:matic)?(?: drop)? seal|threshold"
            r" seal|blade seal)(?: .*)?",
            Fitted.YES,
        ),
    ),
    "letter_plate": ((r"(?:.* )?letter ?(?:plate|box)(?: .*)?", Fitted.YES),),
    "sign": (
        (r"(?:.* )?(?:keep locked|locked shut|fdkl|kl)(?: .*)?", Sign.KEEP_LOCKED),
        (r"(?:.* )?(?:keep clear|kc|afdkc|fdkc)(?: .*)?", Sign.KEEP_CLEAR),
        (r"(?:.* )?(?:keep shut|fdks|keep closed|ks)(?: .*)?", Sign.KEEP_SHUT),
        (
            r"none needed|not needed|none required|not required|no sign(?: needed| required)?",
            Sign.NONE,
        ),
    ),
}


def plain_words(text: str) -> str:
    """Lower case, no punctuation except within numbers: "Int. & Smoke" is "int and smoke"."""
    low = text.casefold().replace("&", " and ").replace("½", "1/2").replace("+", " and ")
    return " ".join(re.sub(r"[^\w./]+|(?<!\d)[./]|[./](?!\d)", " ", low).split())


def says_more(field: str, text: str) -> bool:
    """Whether a cell says more than the value it names: "Overhead closer, size 3"."""
    words = plain_words(text)
    whole = [each for each, _ in WORDS.get(field, ()) if not each.startswith(_ANY)]
    return len(words.split()) > 2 and not any(re.fullmatch(each, words) for each in whole)


def read_words(field: str, text: str) -> StrEnum | None:
    """The value that a cell's words name; None if there is none, or several."""
    words = plain_words(text)
    else_here = _ELSEWHERE if field == "use" else _ELSE
    if else_here.search(words) and not any(
        re.fullmatch(p, words) for p, _ in WORDS.get(field, ()) if not p.startswith(_ANY)
    ):
        return None
    bare = re.sub(r"^(?:the )|(?: doors?| device)$", "", words)
    found = list(
        dict.fromkeys(
            value
            for pattern, value in WORDS.get(field, ())
            for form in (words, bare)
            if re.fullmatch(pattern, form)
        )
    )
    if len(found) > 1 and field in ("use", "latch", "material", "closer", "hold_open", "glazing"):
        # "stair lobby", "latch and deadlock": the first counts only if both can be one thing
        return found[0] if frozenset(found) in _ONE_THING else None
    return found[0] if found else None


_ELSE = re.compile(
    r"\b(?:no|not|non|without|missing|removed|broken|disconnected|faulty|damaged|defective|unless|if|or)\b"
)
_ELSEWHERE = re.compile(_ELSE.pattern + r"|\b(?:to|off|from|by|next|near|outside|between)\b")
"""Words that change the meaning of the value named: "overhead, missing"."""

_ONE_THING = {
    frozenset((Latch.LOCK, Latch.LATCH)),
    frozenset((Use.RISER, Use.CUPBOARD)),
    frozenset((Use.RISER, Use.PLANT_ROOM)),
}
"""Pairs of words that name one thing: a riser cupboard is a riser."""
