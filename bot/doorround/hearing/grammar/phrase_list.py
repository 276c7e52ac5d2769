"""A grammar from a plain list of phrases, independent of any question."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from doorround.hearing.automata.acceptor import Acceptor, Automaton
from doorround.hearing.grammar.active_grammar import (
    ActiveGrammar,
    PhraseReading,
    Polarity,
    plain_reading,
)
from doorround.hearing.grammar.automaton import automaton_of_jsgf

USUAL: Mapping[str, Polarity] = {"yes": Polarity.PASS, "no": Polarity.DEFECT}
"""A yes to "it closes fully, is that right?" would pass a door; a no never does."""


MAX_KEPT = 64
"""Cache size in grammars, enough for two doors."""


def grammar_of_phrases(
    phrases: Iterable[str], polarity: Mapping[str, Polarity] | Callable[[str], Polarity] = USUAL
) -> ActiveGrammar:
    """A grammar of these phrases only, lower-cased. Without a polarity a phrase is NEITHER.

    Raises ValueError if there is no phrase, or one contains anything other than words.
    """
    plain = tuple(dict.fromkeys(" ".join(phrase.lower().split()) for phrase in phrases))
    for phrase in plain:
        if not phrase or not all(character.isalpha() or character in " '-" for character in phrase):
            raise ValueError(
                f'"{phrase}" cannot be listened for. Write it as words: "three", not "3".'
            )
    if not plain:
        raise ValueError("There is nothing to listen for. Give at least one phrase.")
    jsgf = f"#JSGF V1.0;\ngrammar phrases;\npublic <phrases> = {' | '.join(plain)};\n"
    means = (
        polarity if callable(polarity) else lambda phrase: polarity.get(phrase, Polarity.NEITHER)
    )

    @lru_cache(maxsize=512)
    def read(phrase: str) -> PhraseReading:
        return plain_reading(phrase, means(phrase))

    key = hashlib.sha256(jsgf.encode()).hexdigest()[:16]
    return ActiveGrammar(key, plain, lambda: jsgf, read, acceptor=lambda: tree_of(plain))


def tree_of(phrases: tuple[str, ...]) -> Automaton:
    """Prefix tree of the phrases."""
    numbers: dict[tuple[str, ...], int] = {(): 0}
    for phrase in phrases:
        words = tuple(phrase.split())
        for end in range(len(words)):
            numbers.setdefault(words[: end + 1], len(numbers))
    arcs = tuple(
        (numbers[words[:-1]], state, words[-1]) for words, state in numbers.items() if words
    )
    return Automaton(arcs, frozenset(numbers[tuple(phrase.split())] for phrase in phrases))


@lru_cache(maxsize=MAX_KEPT)
def said_in(grammar: ActiveGrammar) -> Acceptor:
    """The grammar's acceptor: the compiled one if there is one, else built from its JSGF text."""
    return grammar.acceptor() if grammar.acceptor else automaton_of_jsgf(grammar.jsgf)


@lru_cache(maxsize=4)
def automaton_of(grammar: ActiveGrammar) -> Automaton:
    """The grammar's acceptor, expanded to an automaton."""
    return said_in(grammar).expanded
