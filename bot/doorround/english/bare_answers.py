"""Words that report nothing by themselves: numbers with units, yes and no, and questions to the
bot.
"""

from __future__ import annotations

import re

from doorround.english.denials import AFFIRMING, REFUSING
from doorround.english.number_words import BELOW_HUNDRED

_YES_AND_NO = " ".join((*AFFIRMING, *REFUSING))
_MANNERS = "okay ok right correct wrong please thanks thank you ta cheers mate pal aye nah naw nay"
_BETWEEN = "and a an the point half quarter eighth eighths sixteenth sixteenths hundred thousand"
_UNITS = (
    "mm cm m kg n lb lbs millimetre millimetres millimeter millimeters inch inches kilo kilos"
    " kilograms seconds"
)
_ANSWERS = frozenset(f"{_YES_AND_NO} {_MANNERS} {_BETWEEN} {_UNITS}".split(" "))


def is_bare_answer(words: str) -> bool:
    """Whether these words are only numbers, units, yes and no."""
    found = re.findall(r"[^\W\d_]+", words.casefold())
    return all(word in _ANSWERS or word in BELOW_HUNDRED for word in found)


_JOINED = re.compile(
    r"\b(?:and|but|though|although|except|only|plus|also|apart from|bar)\b|[,;:]", re.IGNORECASE
)
_AROUND = (
    "about around roughly nearly almost maybe perhaps probably say just over under more less or so"
    " tops bit give take like it is its that i think reckon guess there at in on all of them s"
)
_PLACES = "top bottom head side sides left right middle hinge latch lock"
_ROUGHLY = frozenset(f"{_AROUND} {_PLACES}".split(" "))
"""Words around a number that add nothing to it, including words for its location."""


def tells_more(words: str) -> bool:
    """Whether a separate clause reports something beyond a fact or a number: "three but one's
    loose", "office, and the door's been kicked in".
    """
    clauses = _JOINED.split(words)
    return len(clauses) > 1 and any(map(_tells, clauses[1:]))


def _tells(clause: str) -> bool:
    left = set(re.findall(r"[^\W\d_]+", clause.casefold())) - _ANSWERS - _ROUGHLY
    return bool(left - set(BELOW_HUNDRED))


_TELLS = r"(?:what an?|(?:when|where) (?:i|you|we|it|they|the|there|that|some(?:one|body))) "
"""They begin a report, not a question: "when I let go it slams", "what a mess, it's split"."""
_ASKS = re.compile(
    rf"\W*(?!{_TELLS})(?:what|which|how|why|where|who|when|do i|should i|can i|is that)\b.*"
    r"|.*\?\W*",
    re.IGNORECASE | re.DOTALL,
)
_SHORTENED = re.compile(r"\b(what|where|who|how)'?s\b", re.IGNORECASE)


def is_asked(words: str) -> bool:
    """Whether the bot is being asked something: "what's an intumescent"."""
    plain = _SHORTENED.sub(r"\1 is", words.replace("\u2019", "'"))
    return _ASKS.fullmatch(plain) is not None


_TO_WHOM = r"( (mate|pal|ta|thanks|cheers))?"
_YES = re.compile(
    rf"({'|'.join(AFFIRMING)}|yup|aye|ok|okay|correct|spot on)"
    r"( (yes|please|it (is|does|was)|they (are|do)|that's right))?"
    rf"{_TO_WHOM}|(it|they|that) (is|does|are|do)"
)
_NOT = r"(isn't|is not|doesn't|does not|aren't|are not|don't|do not)"
_NO = re.compile(
    rf"({'|'.join(REFUSING)}|naw|nah|nay)( (no|(it|they) {_NOT}))?{_TO_WHOM}"
    rf"|(it|they) {_NOT}|not really"
)
_MAYBE = re.compile(r"\b(ok|okay)\b", re.IGNORECASE)
"""Also said of a part: not a yes if it may be a fault."""


def is_bare_yes(words: str) -> bool:
    """Whether these words say yes and nothing else: "yes, it is"."""
    return _YES.fullmatch(_plain(words)) is not None


def is_bare_no(words: str) -> bool:
    """Whether these words say no and nothing else: "no, it isn't"."""
    return _NO.fullmatch(_plain(words)) is not None


def yes_or_no(words: str) -> bool | None:
    """A bare answer to a yes-or-no question; None if it is neither."""
    if is_bare_no(words):
        return False
    return True if is_bare_yes(words) and not _MAYBE.search(words) else None


def _plain(words: str) -> str:
    return " ".join(re.findall(r"[a-z']+", words.casefold().replace("\u2019", "'")))
