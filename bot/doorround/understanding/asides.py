"""Context that changes the meaning of a phrase: asides, comparisons, places, numbers, lists of
denied faults.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from doorround.english.number_words import ONES
from doorround.understanding.lexicon import Item, Role
from doorround.understanding.reading import NamedFault
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
"""How the caretaker noticed something is not an aside: "I can see a crack", "when I let go"."""
ASIDE = ("where", "so", "like", "for", "other", "another", "old", "new")
"""Words that introduce an aside or a comparison, or mean another thing."""
THINGS = frozenset(["wall", "floor", "carpet"])
"""Things around a door that may have a fault of their own."""
PARTICLES = frozenset(["up", "on", "off", "out", "down", "over", "away", "in", "around", "round"])
"""After a verb, these may change its meaning."""
LENGTHS = frozenset(["foot", "feet", "inch", "inches", "centimetre", "centimetres", "mm", "length"])
PIECES = LENGTHS | {"corner", "edge", "end", "top", "bottom", "middle", "side", "one end"}
"""Pieces that may be missing from a part that is present: "corner snapped off", "six inches
missing".
"""
EDGES = frozenset(["corner", "corners", "end", "ends"])
"""Places where only a piece of a part is missing: "missing at the corner"."""
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
"""A part after one of these is a place: "a hole by the handle"."""
MIN_SMALL_WORDS = 3
"""Minimum of small words in a statement; "half past two" and "asdf" have fewer."""
NOTHING_THERE = ("nothing", "nowt", "none")
SUBJECTS = frozenset(["it", "they", "there", "that", "someone", "somebody", "something", "this"])
"""Words that begin a new clause, outside the scope of any "no" before them."""
MAY_BE_WITHOUT = ("glass", "screens", "hold_open", "threshold", "latch", "latch.bolt")
"""Parts that not every door has: "not got a window" does not mean that one is missing."""
ARTICLES = ("the", "a", "this", "that", "its")


def tells_more(component: str, items: Sequence[Item]) -> bool:
    """Whether a text is about more than the part. "You" before a fault means anybody: "you can't
    read it".
    """
    behind = (*items[1:], None)
    return any(_is_other_thing(items, place) for place in range(len(items))) or any(
        _is_aside(component, item)
        and not (item.words == "you" and after and after.sense.role is Role.FAULT)
        for item, after in zip(items, behind, strict=False)
    )


def _is_other_thing(items: Sequence[Item], place: int) -> bool:
    """Whether a wall or a floor is told of, and is not where the fault is: "wall's cracked"."""
    if items[place].sense.role is not Role.PLACE or items[place].words not in THINGS:
        return False
    before = before_article(items, place)
    return before is None or before.sense.role is not Role.PREPOSITION


def _is_aside(component: str, item: Item) -> bool:
    """Whether a phrase is about something else: "when I lean on it", "where the bolt goes"."""
    if item.sense.role is Role.PART:
        return item.sense.key.split(".")[0] != component
    if item.words in (*WITNESS, *_manners()) or item.words.startswith(TESTED):
        return False
    when = item.sense.role is Role.TALK or item.words in ASIDE
    return when or bool(PEOPLE.intersection(item.words.split()))


NUMBERS = {word: number for number, word in enumerate(ONES)}


def number_of(items: Sequence[Item], place: int) -> int | None:
    """The number of faults that a number states; "six inches missing" are not six faults, "four
    holes where it was" not four.
    """
    behind = items[place + 1].words if place + 1 < len(items) else ""
    counts = behind not in LENGTHS and " where " not in behind
    return NUMBERS.get(items[place].words) if counts else None


@lru_cache(maxsize=1)
def _manners() -> frozenset[str]:
    """Polite phrases that add nothing to a fault: "I'm sorry to say"."""
    return frozenset(" ".join(each.text for each in tokens_of(it)) for it in words_of("manner"))


def before_article(items: Sequence[Item], place: int) -> Item | None:
    """The item before a phrase and its article: "in" for "crack in the bead"; None at the start."""
    back = place - 1
    while back >= 0 and items[back].words in ARTICLES:
        back -= 1
    return items[back] if back >= 0 else None


def is_place(items: Sequence[Item], place: int) -> bool:
    """Whether a part only tells where another is: "screws on the top hinge"."""
    back = place
    while back > 0 and not items[back].sign:
        back -= 1
        if items[back].sense.role is Role.PREPOSITION:
            return True
        if items[back].words not in ARTICLES and items[back].sense.role is not Role.PLACE:
            return False
    return False


def and_before(items: Sequence[Item], place: int) -> bool:
    """Whether "and" precedes a phrase, ignoring small words and places: "and the top hinge is"."""
    for item in reversed(items[:place]):
        if item.words == "and":
            return True
        if item.sign or item.sense.role not in (Role.FILLER, Role.PLACE, Role.NUMBER):
            return False
    return False


COMPARISONS = ("like a", "like an", "as a", "as an")


def is_compared(items: Sequence[Item], place: int) -> bool:
    """Whether this item is part of a comparison: "like a stuck pig"; "not so much as a chip" is
    none.
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
    """Whether a part is said to move before it stops: "gets to about four inches and …"."""
    return _MOVED.search(" ".join(item.words for item in items[:place])) is not None


def is_noun(item: Item) -> bool:
    """Whether a fault is a noun: "no" denies a list of nouns; "loose" after it is a fault."""
    return item.words in _fault_nouns()


@lru_cache(maxsize=1)
def _fault_nouns() -> frozenset[str]:
    return frozenset(words_of("fault_noun"))


def goes_on_denied(items: Sequence[Item], place: int) -> bool:
    """Whether a fault directly after a comma continues a list of nouns after "no": "no splits,
    dents or rot", but not "no holes, dents" or "no splits, it's loose or rotten".
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
    """The part that a movement is about: "the leaf closes fully" is about the closer in question.
    For labels, the named part only bears them: "one on the hinge edge, clear to read".
    """
    parts = part_words()
    whole = named.split(".")[0]
    known = parts[whole].good if whole in parts else ()
    moves = good in parts[asked].good and good not in known
    return asked if (named == "leaf" or asked == "label") and moves else whole


def fault_of(asked: str, named: str, senses: Sequence[str]) -> tuple[str, str | None]:
    """Component and name of the fault with the first of these senses that the part can have; "the
    leaf slams" is about the closer in question.
    """
    moved = named == "leaf" and asked in ("closer", "coordinator")
    for part in (named, asked) if moved else (named,):
        for sense in senses:
            if name := fault_name(part, sense):
                return part.split(".")[0], name
    return named.split(".")[0], None


def only_before(items: Sequence[Item], place: int) -> bool:
    """Whether "only" restricts something sound: "only lets go when I pull"."""
    before = items[place - 1] if place else None
    return before is not None and before.words == "only"


def particle_behind(items: Sequence[Item], place: int) -> bool:
    """Whether a following particle may make it a different verb: "hangs up on the carpet"."""
    behind = items[place + 1 : place + 3]
    if not behind or behind[0].words not in PARTICLES or behind[0].sign:
        return False
    named = (Role.PLACE, Role.PART, Role.FILLER)
    return len(behind) < 2 or bool(behind[1].sign) or behind[1].sense.role not in named


def piece_before(items: Sequence[Item], place: int) -> bool:
    """Whether only a piece of the part is missing: "top one's gone"."""
    before = [each for each in items[:place] if not is_small(each)]
    return bool(before) and before[-1].words in PIECES and not items[place].sign


def is_small(item: Item) -> bool:
    """Whether a phrase names nothing that can be missing: "the", "two", but not "inch"."""
    return item.sense.role in (Role.FILLER, Role.NUMBER) and item.words not in PIECES


_SIDES = (("left",), ("right",), ("top", "head", "across"))


def is_all_over(component: str, places: Sequence[str], beyond: bool) -> bool:
    """Whether these places are the whole part: "both sides and the top"."""
    all_over = all_over_of(component, beyond)
    rest = set(places) - all_over
    if not rest or (rest <= {"top", "head"} and bool(all_over & set(places))):
        return True
    words = set(" ".join(places).split())
    return all(words.intersection(side) for side in _SIDES)  # "the left, the top, the right"


def missing_name(part: str, places: Sequence[str]) -> str | None:
    """The fault of a part that is missing altogether, or in one place: "no strip on the top"."""
    in_place = fault_name(part, "place_missing")
    at_one = bool(places) and not is_all_over(part, places, beyond=True)
    return in_place if at_one and in_place == "part_missing" else fault_name(part, "missing")


def placed(fault: NamedFault, places: Sequence[str]) -> NamedFault:
    """A fault at its places. What is missing at one of them is part of a seal, and what is missing
    at a corner or an end is a piece of any part: "missing across the top".
    """
    part, name, where = fault.component, fault.name, " ".join(places)
    if name and name == fault_name(part, "missing"):
        name = missing_name(part, places)
        if EDGES.intersection(where.split()):
            name = fault_name(part, "place_missing") or name
    return replace(fault, name=name, where=where)


def locates(before: str, items: Sequence[Item]) -> bool:
    """Whether a part after this word is a place: "where the screws bite", "from the top to the
    handle". items: those before the part.
    """
    return before in LOCATING or (before == "to" and any(each.words == "from" for each in items))
