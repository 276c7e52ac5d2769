"""The minimal automaton of a network's words, which a speech engine searches fastest.

It has no tags: an engine recognises words, and their meaning is looked up afterwards.
"""

from __future__ import annotations

from collections import deque

from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.grammar_nfa import GrammarNfa, build_grammar_nfa
from doorround.hearing.grammar.jsgf import GrammarError, Words, read_grammar


def automaton_of_jsgf(text: str) -> Automaton:
    """The automaton of the first public rule of a self-contained JSGF text. Raises GrammarError."""
    grammar = read_grammar(text, "grammar")
    public = next((rule for rule in grammar.rules.values() if rule.public), None)
    if public is None:
        raise GrammarError("The grammar has no public rule. Write `public` before one.")
    return automaton(build_grammar_nfa(public.node, lambda name: grammar.rules[name].node))


def automaton(nfa: GrammarNfa) -> Automaton:
    """The minimal deterministic automaton of a network's words (subset construction, then
    Hopcroft's refinement in Moore's simpler form; Hopcroft and Ullman 1979, from memory).
    """
    return _minimal(*_deterministic(nfa))


def _deterministic(nfa: GrammarNfa) -> tuple[list[dict[str, int]], set[int]]:
    closure = _closures(nfa)
    start = closure[0]
    numbers: dict[frozenset[int], int] = {start: 0}
    steps: list[dict[str, int]] = [{}]
    finals = {0} if nfa.final in start else set()
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for word, targets in _after(nfa, here).items():
            there = frozenset().union(*(closure[target] for target in targets))
            if there not in numbers:
                numbers[there] = len(steps)
                steps.append({})
                waiting.append(there)
                if nfa.final in there:
                    finals.add(numbers[there])
            steps[numbers[here]][word] = numbers[there]
    return steps, finals


def _after(nfa: GrammarNfa, states: frozenset[int]) -> dict[str, set[int]]:
    found: dict[str, set[int]] = {}
    for state in states:
        for label, target in nfa.arcs[state]:
            if isinstance(label, Words):
                found.setdefault(label.text, set()).add(target)
    return found


def _closures(nfa: GrammarNfa) -> list[frozenset[int]]:
    """Epsilon closure of each state, reduced to the states that are final or have a word arc."""
    matters = {
        state
        for state, arcs in enumerate(nfa.arcs)
        if state == nfa.final or any(isinstance(label, Words) for label, _ in arcs)
    }
    return [frozenset(_reached(nfa, state) & matters) for state in range(len(nfa.arcs))]


def _reached(nfa: GrammarNfa, state: int) -> set[int]:
    reached = {state}
    waiting = [state]
    while waiting:
        for label, target in nfa.arcs[waiting.pop()]:
            if not isinstance(label, Words) and target not in reached:
                reached.add(target)
                waiting.append(target)
    return reached


def _minimal(steps: list[dict[str, int]], finals: set[int]) -> Automaton:
    group = [int(state in finals) for state in range(len(steps))]
    groups = 0
    while True:
        kinds: dict[tuple[int, frozenset[tuple[str, int]]], int] = {}
        refined = [
            kinds.setdefault(
                (group[state], frozenset((word, group[to]) for word, to in step.items())),
                len(kinds),
            )
            for state, step in enumerate(steps)
        ]
        if len(kinds) == groups:
            break
        group = refined
        groups = len(kinds)
    arcs = {
        (group[state], group[to], word)
        for state, step in enumerate(steps)
        for word, to in step.items()
    }
    return _from_zero(arcs, {group[state] for state in finals}, group[0])


def _from_zero(arcs: set[tuple[int, int, str]], finals: set[int], start: int) -> Automaton:
    """The automaton renumbered so that its start is state 0."""

    def number(state: int) -> int:
        return 0 if state == start else start if state == 0 else state

    moved = sorted((number(begin), number(end), word) for begin, end, word in arcs)
    return Automaton(tuple(moved), frozenset(number(state) for state in finals))
