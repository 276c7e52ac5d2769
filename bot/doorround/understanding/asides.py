"""What stands around a phrase and changes what it says: what is told beside the part, comparisons,
places, numbers, lists of what is denied.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from doorround.english.number_words import ONES
from doorround.understanding.lexicon import Item, Role
from doorround.understanding.word_data import all_over_of, fault_name, part_words, words_of
from doorround.understanding.words_of_text import tokens_of

PEOPLE = frozenset(["i", "we", "you", "he", "she", "me", "us"])
WITNESS = (
    "i see",
    "i can see",
    "i could see",
    "i found",
    "i noticed",
    "i notice",
    "i spotted",
    "you see",
)
TESTED = "when i "
"""How the caretaker came to know it is no aside: "I can see a crack", "when I let go"."""
ASIDE = ("where", "so", "like", "for")
"""They begin what is told beside the fault, or compare."""
PARTICLES = frozenset(["up", "on", "off", "out", "down", "over", "away", "in"])
"""Behind a verb they may change what it means."""
LENGTHS = frozenset(["foot", "feet", "inch", "inches", "centimetre", "centimetres", "mm", "length"])
PIECES = LENGTHS | {"corner", "edge", "end", "top", "bottom", "middle", "side", "one end"}
"""What may be gone while the part is there: "corner snapped off", "six inches missing"."""
LOCATING = frozenset(
    [
        "where",
        "at",
        "by",
        "near",
        "beside",
        "next to",
        "under",
        "underneath",
        "below",
        "above",
        "behind",
        "against",
        "towards",
        "between",
    ]
)
"""A part behind one of these is a place: "a hole by the handle"."""
ARTICLES = ("the", "a", "this", "that", "its")


def tells_more(component: str, items: Sequence[Item]) -> bool:
    """Whether a text tells of more than the part. What is said to "you" before a fault is of
    anybody: "you can't read it".
    """
    behind = (*items[1:], None)
    return any(
        _is_aside(component, item)
        and not (item.words == "you" and after and after.sense.role is Role.FAULT)
        for item, after in zip(items, behind, strict=False)
    )


def _is_aside(component: str, item: Item) -> bool:
    """Whether a phrase is of something else: "when I lean on it", "where the bolt goes"."""
    if item.sense.role is Role.PART:
        return item.sense.key.split(".")[0] != component
    if item.words in (*WITNESS, *_manners()) or item.words.startswith(TESTED):
        return False
    when = item.sense.role is Role.TALK or item.words in ASIDE
    return when or bool(PEOPLE.intersection(item.words.split()))


NUMBERS = {word: number for number, word in enumerate(ONES)}


def number_of(items: Sequence[Item], place: int) -> int | None:
    """How many faults a number counts; "six inches missing" are not six, "four holes where it was"
    not four.
    """
    behind = items[place + 1].words if place + 1 < len(items) else ""
    counts = behind not in LENGTHS and " where " not in behind
    return NUMBERS.get(items[place].words) if counts else None


@lru_cache(maxsize=1)
def _manners() -> frozenset[str]:
    """What is said beside a fault and tells nothing: "I'm sorry to say"."""
    return frozenset(" ".join(each.text for each in tokens_of(it)) for it in words_of("manner"))


def before_article(items: Sequence[Item], place: int) -> Item | None:
    """What stands before a phrase and its article: "in" for "crack in the bead"; None at the
    beginning.
    """
    back = place - 1
    while back >= 0 and items[back].words in ARTICLES:
        back -= 1
    return items[back] if back >= 0 else None


def and_before(items: Sequence[Item], place: int) -> bool:
    """Whether an "and" stands before a phrase, but for small words and places: "and the top hinge
    is …".
    """
    for item in reversed(items[:place]):
        if item.words == "and":
            return True
        if item.sign or item.sense.role not in (Role.FILLER, Role.PLACE, Role.NUMBER):
            return False
    return False


COMPARISONS = ("like a", "like an", "as a", "as an")


def is_compared(items: Sequence[Item], place: int) -> bool:
    """Whether what stands here is only what something is like: "like a stuck pig"; "not so much as
    a chip" compares nothing.
    """
    words = ""
    for item in items[:place]:
        said = "" if item.sense.role is Role.NEGATION else f"{item.words} "
        words = said if item.sign else f"{words}{said}"
    return any(f" {each} " in f" {words}" for each in COMPARISONS)


_MOVED = re.compile(
    r"\b(?:gets?|got|comes?|came|goes|went|swings?|swung|moves?|moved|closes|closed|shuts)"
    r" (?:right |just |in |down |round |back )*(?:to|about|as far as|within|half|halfway|half way|"
    r"most|maybe|up to|so far|an? )\b"
)


def moved_before(items: Sequence[Item], place: int) -> bool:
    """Whether a part is told to move before it stops: "gets to about four inches and …"."""
    return _MOVED.search(" ".join(item.words for item in items[:place])) is not None


def is_noun(item: Item) -> bool:
    """Whether a noun tells a fault: a "no" denies a list of them; "loose" behind it is told."""
    return item.words in _fault_nouns()


@lru_cache(maxsize=1)
def _fault_nouns() -> frozenset[str]:
    return frozenset(words_of("fault_noun"))


def goes_on_denied(items: Sequence[Item], place: int) -> bool:
    """Whether a fault at once behind a comma is one of a list of nouns that a "no" began: "no
    splits, dents or rot", and not "no holes, dents" or "no splits, it's loose or rotten".
    """
    if items[place].sign != ",":
        return False
    for before, item in enumerate(items[place:], start=place):
        if item.sense.role is Role.OR:
            last = items[before + 1 : before + 2]
            return before > place and all(map(is_noun, last))
        if item.sense.role is not Role.FAULT or item.sign not in ("", ",") or not is_noun(item):
            return False
    return False


def moved_part(asked: str, named: str, good: str) -> str:
    """The part of which a movement is told: "the leaf closes fully" is of the closer that is asked
    about. Of labels the parts that bear them are named: "one on the hinge edge, clear to read".
    """
    parts = part_words()
    whole = named.split(".")[0]
    known = parts[whole].good if whole in parts else ()
    moves = good in parts[asked].good and good not in known
    return asked if (named == "leaf" or asked == "label") and moves else whole


def fault_of(asked: str, named: str, senses: Sequence[str]) -> tuple[str, str | None]:
    """Component and name of a fault with the first of these senses that the part can have; "the
    leaf slams" is of the closer that is asked about.
    """
    moved = named == "leaf" and asked in ("closer", "coordinator")
    for part in (named, asked) if moved else (named,):
        for sense in senses:
            if name := fault_name(part, sense):
                return part.split(".")[0], name
    return named.split(".")[0], None


def only_before(items: Sequence[Item], place: int) -> bool:
    """Whether what is sound is so only by something: "only lets go when I pull"."""
    before = items[place - 1] if place else None
    return before is not None and before.words == "only"


def particle_behind(items: Sequence[Item], place: int) -> bool:
    """Whether a small word behind may make another verb of it: "hangs up on the carpet"."""
    behind = items[place + 1 : place + 3]
    if not behind or behind[0].words not in PARTICLES or behind[0].sign:
        return False
    named = (Role.PLACE, Role.PART, Role.FILLER)
    return len(behind) < 2 or bool(behind[1].sign) or behind[1].sense.role not in named


def piece_before(items: Sequence[Item], place: int) -> bool:
    """Whether it is a piece of the part that is gone: "top one's gone"."""
    before = [each for each in items[:place] if not is_small(each)]
    return bool(before) and before[-1].words in PIECES and not items[place].sign


def is_small(item: Item) -> bool:
    """Whether a phrase names nothing that may be gone: "the", "two"; "inch" does."""
    return item.sense.role in (Role.FILLER, Role.NUMBER) and item.words not in PIECES


_SIDES = (("left",), ("right",), ("top", "head", "across"))


def is_all_over(component: str, places: Sequence[str], beyond: bool) -> bool:
    """Whether what is sound at these places is sound all over: "both sides and the top"."""
    all_over = all_over_of(component, beyond)
    rest = set(places) - all_over
    if not rest or (rest <= {"top", "head"} and bool(all_over & set(places))):
        return True
    words = set(" ".join(places).split())
    return all(words.intersection(side) for side in _SIDES)  # "the left, the top, the right"


def missing_name(part: str, places: Sequence[str]) -> str | None:
    """The fault of a part of which there is none, or none at a place: "no strip on the top"."""
    in_place = fault_name(part, "place_missing")
    at_one = bool(set(places) - all_over_of(part, beyond=True))
    return in_place if at_one and in_place == "part_missing" else fault_name(part, "missing")
