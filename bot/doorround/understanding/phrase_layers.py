"""The phrases known at a question, in layers: of equal phrases the first one counts."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from doorround.understanding.lexicon import Lexicon, Role, Sense
from doorround.understanding.made_phrases import (
    doubtful_phrases,
    finish_phrases,
    gone_phrases,
    handled_phrases,
    looked_phrases,
    shove_phrases,
)
from doorround.understanding.word_data import (
    PartWords,
    beside,
    choice_words,
    fault_senses,
    good_senses,
    part_names,
    part_words,
    why_not_seen,
    words_beside_values,
    words_of,
)

_OPERATORS = (
    Role.EXCEPTION,
    Role.MENDED,
    Role.DOUBT,
    Role.HEDGE,
    Role.PAST,
    Role.TALK,
    Role.NUMBER,
    Role.MINOR,
    Role.ABSENT,
    Role.ELSEWHERE,
    Role.NEGATION,
    Role.CONTRAST,
    Role.OR,
    Role.PREPOSITION,
)


@lru_cache(maxsize=32)
def choices_of(says: str) -> Lexicon:
    """Lexicon of a question with a few values. says: the question's rule."""
    return Lexicon(_choice_layers(says))


@lru_cache(maxsize=32)
def lexicon_of(component: str) -> Lexicon:
    """Lexicon of a question about this component."""
    return Lexicon(_layers(component), component)


def _choice_layers(says: str) -> Iterator[tuple[str, Sense]]:
    for value, phrases in choice_words(says).items():
        yield from ((phrase, Sense(Role.CHOICE, value)) for phrase in phrases)
    yield from _operators()
    for phrase in (*words_beside_values(), *words_of("filler")):
        yield phrase, Sense(Role.FILLER)


def _operators() -> Iterator[tuple[str, Sense]]:
    for role in _OPERATORS:
        yield from ((phrase, Sense(role)) for phrase in words_of(role.value))


_SAID_OF_WAY = ("obstructed", "locked", "covered", "out of reach", "occupied")
"""Reasons for not seeing a part that are themselves faults of the doorway."""


def _layers(component: str) -> Iterator[tuple[str, Sense]]:
    """All known phrases; of equal ones the first counts."""
    part = part_words().get(component, PartWords(component))
    faults, goods = fault_senses(), good_senses()
    yield from ((phrase, Sense(Role.FAULT, name, own=True)) for phrase, name in part.phrases)
    yield from ((phrase, Sense(Role.GOOD, "works")) for phrase in part.sound)
    yield from _about_the_part(component, part)
    for sense in (each for each in faults if each in part.faults):
        yield from ((phrase, Sense(Role.FAULT, sense)) for phrase in faults[sense])
    for good in part.good:
        yield from ((phrase, Sense(Role.GOOD, good)) for phrase in goods[good])
    yield from _operators()
    for reason, phrases in why_not_seen().items():
        if component != "clear" or reason not in _SAID_OF_WAY:
            yield from ((phrase, Sense(Role.CANNOT, reason)) for phrase in phrases)
    yield from _part_layer(component)
    yield from ((place, Sense(Role.PLACE)) for place in words_of("place"))
    tried = () if component in _MOVING else ("tried",)
    pushed = () if component in _CLOSING else ("pushed",)
    yield from ((phrase, Sense(Role.DOUBT)) for phrase in doubtful_phrases())
    made = looked_phrases() if component in _MOVING else (*looked_phrases(), *handled_phrases())
    yield from ((phrase, Sense(Role.FILLER)) for phrase in made)
    for said_beside in ("filler", "manner", *tried, *pushed):
        yield from ((phrase, Sense(Role.FILLER)) for phrase in words_of(said_beside))
    for sense, phrases in faults.items():
        yield from ((phrase, Sense(Role.FAULT, sense)) for phrase in phrases)
    for good, phrases in goods.items():
        yield from ((phrase, Sense(Role.ELSEWHERE, good)) for phrase in phrases)
    yield from ((phrase, Sense(Role.SCENE)) for phrase in words_of("scene"))


def _about_the_part(component: str, part: PartWords) -> Iterator[tuple[str, Sense]]:
    """Phrases about the finish of a part, its traces, and words that add nothing."""
    if component == "frame":
        yield from ((phrase, Sense(Role.MINOR, PEELING)) for phrase in words_of("finish_of_frame"))
    if component not in _PAINT_MATTERS:
        yield from ((phrase, Sense(Role.MINOR, FINISH)) for phrase in finish_phrases())
    if "missing" in part.faults and component not in _OF_WOOD:
        yield from ((phrase, Sense(Role.FAULT, "missing")) for phrase in gone_phrases())
    if component in _CLOSING:
        yield from ((phrase, Sense(Role.FAULT, "unaided")) for phrase in shove_phrases())
    yield from ((phrase, Sense(Role.FILLER)) for phrase in beside(component))


FINISH = "finish"
"""A minor matter, of the paint and not of the part."""
PEELING = "peeling"
"""The same for peeling on a frame if no part is named."""
_PAINT_MATTERS = ("seals", "label", "sign", "mark")
"""Parts on which paint is a fault, not a finish."""
_OF_WOOD = ("frame", "leaf")
"""Parts on which a hole is a fault, whatever was in it."""
_MOVING = ("clear", "latch", "hold_open", "closer", "coordinator", "letter_plate")
"""Parts where needing a push or pull may be a fault: "shuts if you give it a shove"."""
_CLOSING = ("closer", "coordinator", "letter_plate")
"""Self-closing parts: one that closes only when pushed does not close by itself."""
_ONLY_ASKED = (
    *("mark", "clear", "label", "hinges.stamp", "glass.strip", "screens.stamp"),
    *("latch.spring", "latch.rod", "letter_plate.spring", "threshold.brush"),
)
"""Parts that are meant only at their own question: "not a mark on it"."""


def _part_layer(component: str) -> Iterator[tuple[str, Sense]]:
    names = part_names()
    for key in sorted(names, key=lambda each: each.split(".")[0] != component):
        if key not in _ONLY_ASKED or key.split(".")[0] == component:
            yield from ((name, Sense(Role.PART, key)) for name in names[key])
