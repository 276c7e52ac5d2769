"""The table of phrases, and which written words of a grammar rule a phrase makes use of."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from pathlib import Path

from doorround.hearing.grammar.grammar_nfa import GrammarNfa
from doorround.hearing.grammar.jsgf import Words

Table = dict[str, dict[str, list[str]]]


def read_table(name: str) -> Table:
    """A table of phrases: question → meaning → phrases."""
    return tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))


CARETAKERS = read_table("caretakers.toml")
"""What caretakers say. "?" behind a meaning: it is read back before it is entered."""


def _both() -> Table:
    table = read_table("phrases.toml")
    for key, meanings in CARETAKERS.items():
        for meaning, phrases in meanings.items():
            said = table[key].setdefault(meaning.rstrip("?"), [])
            said += [phrase for phrase in phrases if phrase not in said]
    return table


TABLE = _both()
NO_QUESTIONS = ("named", "commands", "read back", "which door", "asked", "the clock")


def rows(*tables: str) -> list[tuple[str, str, str]]:
    """(table, meaning, phrase) of every row of some tables, of all questions when none is named."""
    chosen = tables or tuple(name for name in TABLE if name not in NO_QUESTIONS)
    return [
        (name, meaning, phrase)
        for name in chosen
        for meaning, said in TABLE[name].items()
        for phrase in said
    ]


def written(nfa: GrammarNfa) -> dict[int, str]:
    """Every word written in a rule and the rules that it uses: identity → word."""
    return {
        id(label): label.text for arcs in nfa.arcs for label, _ in arcs if isinstance(label, Words)
    }


def used(nfa: GrammarNfa, spoken: Sequence[str]) -> set[int]:
    """Which written words lie on a way through the network that spells `spoken`."""
    back = _backwards(id(nfa), nfa)
    before = [_free({0}, nfa.arcs)]
    after = [_free({nfa.final}, back)]
    for word in spoken:
        before.append(_free(_next(before[-1], word, nfa.arcs), nfa.arcs))
    for word in reversed(spoken):
        after.append(_free(_next(after[-1], word, back), back))
    after.reverse()
    return {
        id(label)
        for place, word in enumerate(spoken)
        for state in before[place]
        for label, target in nfa.arcs[state]
        if isinstance(label, Words) and label.text == word and target in after[place + 1]
    }


Arcs = list[list[tuple[object, int]]]


def _next(states: set[int], word: str, arcs: Arcs) -> set[int]:
    return {
        to
        for state in states
        for label, to in arcs[state]
        if isinstance(label, Words) and label.text == word
    }


def _free(states: set[int], arcs: Arcs) -> set[int]:
    reached = set(states)
    waiting = list(states)
    while waiting:
        for label, target in arcs[waiting.pop()]:
            if not isinstance(label, Words) and target not in reached:
                reached.add(target)
                waiting.append(target)
    return reached


_turned: dict[int, Arcs] = {}


def _backwards(key: int, nfa: GrammarNfa) -> Arcs:
    if key not in _turned:
        _turned[key] = [[] for _ in nfa.arcs]
        for state, arcs in enumerate(nfa.arcs):
            for label, target in arcs:
                _turned[key][target].append((label, state))
    return _turned[key]
