"""Leaves of a pair named by one another or by their place: "the other leaf", "left one".

Rewritten as "first leaf" and "second leaf". Which of them opens first, and so is the active leaf:
common practice, no source.
"""

from __future__ import annotations

import re

FIRST = "first"
SECOND = "second"
_OPPOSITE = {FIRST: SECOND, SECOND: FIRST}
_VERB = (
    r"(?:is|isn't|has|hasn't|was|does|doesn't|do|won't|can't|will|slams?|sticks?|closes?|shuts?"
    r"|stops?|latches|binds?|drags?|catches|bangs?|hangs?|rubs?|fine|ok|okay|good|sound|undamaged)"
)
_NOUN = r"(?:leaf|one|door)"
_THE = r"(?:\b(?:the|that) )?"
_OTHER = re.compile(
    rf"{_THE}\bother (?:{_NOUN})\b(?! side)|\b(?:the|that) other(?=['’]s\b| {_VERB}\b)",
    re.IGNORECASE,
)
_THIS = re.compile(r"\bthis (?:leaf|one)\b(?! side)", re.IGNORECASE)
_ORDINAL = re.compile(r"\b(first|second) (?:one|door)\b(?! side)", re.IGNORECASE)
_ACTIVE = re.compile(
    rf"{_THE}\b(active|master|primary|inactive|passive|slave|secondary) {_NOUN}\b", re.IGNORECASE
)
_BY_PLACE = re.compile(
    rf"{_THE}\b(left|right|big(?:ger)?|small(?:er)?|wide(?:r)?|narrow(?:er)?)"
    rf"(?:[- ]hand)?(?:[- ]side)? {_NOUN}\b",
    re.IGNORECASE,
)
_ONE = re.compile(
    rf"\bone (?:leaf|door)\b|\bone of (?:them|the (?:leaves|doors|two|pair))\b"
    rf"|\bone(?=['’]s\b| {_VERB}\b)",
    re.IGNORECASE,
)
_LEADING = ("active", "master", "primary")
_ALIKE = (("left",), ("big", "bigger", "wide", "wider"))

_MOVES = re.compile(
    r"\b(?:one|other)(?:['’]s)? (?:\w+ )?(?:slam|stick|clos|shut|latch|drag|bang)\w*", re.IGNORECASE
)
"""Only a leaf moves, so "the left one sticks" names a leaf at any question."""

_DID = re.compile(
    r"\b(close|shut|latch|catch|stick|bind|slam)(?:s|es)?\b(?P<how>(?: fully| properly| to| shut)?)"
    r"(?P<between>[^,;.]*[,;.]?(?: (?:and|but))? (?:the )?(?:first|second) leaf)"
    r" (?P<not>doesn['’]?t|does not|won['’]?t|will not)(?P<end>\W*)$",
    re.IGNORECASE,
)


def leaf_readings(text: str, here: str, *, ones: bool) -> tuple[str, ...]:
    """The text with both leaves named "first leaf" or "second leaf": one reading if it is clear
    which is which, two if it may be either; none if it names no leaf in such a way. here: the leaf
    in question, "first" or "second"; "" if none is. ones: whether "the second one" can only be a
    leaf, as at a question about something of which each leaf has one.
    """
    ones = ones or bool(_MOVES.search(text))
    plain = _ACTIVE.sub(
        lambda found: _leaf(FIRST if found[1].lower() in _LEADING else SECOND), text
    )
    if ones:
        plain = _ORDINAL.sub(lambda found: _leaf(found[1].lower()), plain)
    if here:
        plain = _THIS.sub(_leaf(here), plain)
    other = _OTHER.search(plain)
    one = _ONE.search(plain) if ones or other or "leaf" in plain.lower() else None
    if other and one and other.start() < one.start():
        one = None
    if _BY_PLACE.search(plain) or one:
        if not (ones or "leaf" in plain.lower() or "door" in plain.lower()):
            return ()
        return tuple(_with_others(plain, leaf) for leaf in (FIRST, SECOND))
    if other:
        named = re.search(r"\b(first|second) leaf\b", plain[: other.start()], re.IGNORECASE)
        told = named[1].lower() if named else here
        for_each = (_OPPOSITE[told],) if told else (FIRST, SECOND)
        return tuple(_whole(_OTHER.sub(_leaf(leaf), plain)) for leaf in for_each)
    return () if plain == text else (_whole(plain),)


def of_leaf(told: str, leaf: str) -> str:
    """What is told about a leaf, with its name."""
    return f"{_leaf(leaf)} {told}"


def of_closer(told: str, leaf: str) -> str:
    """What a leaf does, told of its closer."""
    return f"closer {told} on {_leaf(leaf)}"


def _with_others(text: str, leaf: str) -> str:
    """The text if the leaf that is named first is this one."""
    found = _BY_PLACE.search(text)
    first = _kind(found[1]) if found else None
    apart = _BY_PLACE.sub(
        lambda each: _leaf(leaf if _kind(each[1]) == first else _OPPOSITE[leaf]), text
    )
    if found is None:
        apart = _ONE.sub(_leaf(leaf), apart)
    return _whole(_OTHER.sub(_leaf(_OPPOSITE[leaf]), apart))


def _kind(place: str) -> bool:
    return any(place.lower() in alike for alike in _ALIKE)


def _leaf(which: str) -> str:
    return f"the {which} leaf"


def _whole(text: str) -> str:
    """The text with what "second leaf doesn't" leaves out: "second leaf doesn't close"."""
    text = re.sub(r"\b(the|on) the (?=first|second)", r"\1 ", text, flags=re.IGNORECASE)
    found = _DID.search(text)
    if found is None:
        return text
    told = f"{found[1]}{found['how']}" if found[1].lower() != "slam" else "slam"
    return f"{text[: found.end('not')]} {told}{found['end']}"
