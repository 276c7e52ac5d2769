"""Builds a minimal automaton from many phrases, in one pass (Daciuk et al. 2000, sorted input; from
memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from doorround.hearing.automata.acceptor import Automaton


def smallest(phrases: Iterable[str]) -> Automaton:
    """The minimal acyclic automaton of exactly these phrases. Phrases: words separated by one
    space.

    10,000 door numbers said in 45,000 ways take some tenths of a second; the subset construction
    used for the grammar files takes a minute.
    """
    making = _Making()
    for phrase in sorted(tuple(phrase.split()) for phrase in set(phrases)):
        making.add(phrase)
    return making.done()


class _Making:
    def __init__(self) -> None:
        self.steps: list[dict[str, int]] = [{}]
        self.finals: set[int] = set()
        self._known: dict[tuple[bool, tuple[tuple[str, int], ...]], int] = {}
        self._last: tuple[str, ...] = ()
        self._way: list[tuple[int, str, int]] = []  # of the last phrase: (state, word, next state)

    def add(self, phrase: tuple[str, ...]) -> None:
        common = 0
        while common < min(len(phrase), len(self._way)) and self._last[common] == phrase[common]:
            common += 1
        self._settle(common)
        state = self._way[-1][2] if self._way else 0
        for word in phrase[common:]:
            self.steps.append({})
            self.steps[state][word] = len(self.steps) - 1
            self._way.append((state, word, len(self.steps) - 1))
            state = len(self.steps) - 1
        self.finals.add(state)
        self._last = phrase

    def _settle(self, down_to: int) -> None:
        """Merge the states of the last phrase that are now complete."""
        while len(self._way) > down_to:
            before, word, state = self._way.pop()
            kind = (state in self.finals, tuple(sorted(self.steps[state].items())))
            same = self._known.setdefault(kind, state)
            if same != state:
                self.steps[before][word] = same
                self.steps[state] = {}
                self.finals.discard(state)

    def done(self) -> Automaton:
        self._settle(0)
        reached = self._reached()
        numbers = {state: number for number, state in enumerate(sorted(reached))}
        arcs = (
            (numbers[here], numbers[to], word)
            for here in sorted(reached)
            for word, to in self.steps[here].items()
        )
        return Automaton(tuple(arcs), frozenset(numbers[state] for state in self.finals & reached))

    def _reached(self) -> set[int]:
        reached = {0}
        waiting = [0]
        while waiting:
            for to in self.steps[waiting.pop()].values():
                if to not in reached:
                    reached.add(to)
                    waiting.append(to)
        return reached


Part = tuple[int, int, Automaton]


def joined(
    states: int, parts: Sequence[Part], free: Sequence[tuple[int, int]], finals: Iterable[int]
) -> Automaton:
    """Automata inserted between numbered states, 0 the start. parts: (from, to, automaton); free:
    epsilon transitions.
    """
    arcs = [(begin, end, "") for begin, end in free]
    count = states
    for begin, end, part in parts:
        if not part.arcs:
            continue
        arcs.append((begin, count, ""))
        arcs.extend((count + here, count + there, word) for here, there, word in part.arcs)
        arcs.extend((count + state, end, "") for state in part.finals)
        count += part.states
    return Automaton(tuple(arcs), frozenset(finals))
