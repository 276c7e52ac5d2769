"""Phrases generated from combinations of words, so that the data need not list them: "paint is
peeling", "I pressed it", "holes where it used to be".
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from doorround.understanding.word_data import tables

_SUBJECTS = ("i", "we", "i have", "i just", "and", "")
_ON = (
    "",
    "it",
    "them",
    "each",
    "each one",
    "every one",
    "all of them",
    "them all",
    "it all round",
    "all round",
)
_DEGREES = ("", "good ", "right ", "proper ", "hard ", "big ", "wee ", "bit of a ")
_SHOVES = ("give it a", "gave it a", "gave them a", "gave her a", "gave each a", "gave each one a")


def _words(name: str) -> tuple[str, ...]:
    return tuple(tables("made.toml")["words"][name])


@lru_cache(maxsize=1)
def finish_phrases() -> tuple[str, ...]:
    """Faults of a part's finish, not of the part: "peeling paint", "varnish has come off"."""
    finishes, faults = _words("finish"), _words("finish_fault")
    pairs = tuple(product(faults, finishes))
    before = (f"{fault} {finish}" for fault, finish in pairs)
    return (*before, *(f"{finish} {fault}" for fault, finish in pairs))


@lru_cache(maxsize=1)
def gone_phrases() -> tuple[str, ...]:
    """Traces of a missing part: "screw holes where it used to be"."""
    traces, places = _words("trace"), _words("where_it_was")
    return tuple(f"{trace} {place}" for trace, place in product(traces, places))


@lru_cache(maxsize=1)
def looked_phrases() -> tuple[str, ...]:
    """Ways to look at or try any part: "I tried it three times"."""
    return tuple(_tries(_words("looked")))


@lru_cache(maxsize=1)
def handled_phrases() -> tuple[str, ...]:
    """Ways to test a part that does not move; for one that moves, a push may mean a fault."""
    return (*_tries(_words("handled")), *shove_phrases())


@lru_cache(maxsize=1)
def shove_phrases() -> tuple[str, ...]:
    """A push given to a part: "gave it a good shove"."""
    shoves = product(_SHOVES, _DEGREES, _words("shove"))
    return tuple(f"{verb} {degree}{shove}" for verb, degree, shove in shoves)


@lru_cache(maxsize=1)
def doubtful_phrases() -> tuple[str, ...]:
    """Tests by others, or in some places only: "they checked", "where I pressed"."""
    others = product(("they", "they have", "he", "she", "he has", "she has"), _words("looked"))
    verbs = (*_words("looked"), *_words("handled"))
    wheres = product(("where i", "where we", "ones i", "one i", "bits i", "bit i"), verbs)
    return (*(f"{who} {verb}" for who, verb in others), *(f"{one} {verb}" for one, verb in wheres))


def _tries(verbs: tuple[str, ...]) -> Iterator[str]:
    for subject, verb, what in product(_SUBJECTS, verbs, _ON):
        if subject not in ("", "and") or what:  # "pressed" alone may have happened to the part
            yield f"{subject} {verb} {what}".strip()
    for when, verb in product(("when i", "when you", "if i", "every time i"), verbs):
        yield from (f"{when} {verb}", f"{when} {verb} it", f"{when} {verb} on it")
