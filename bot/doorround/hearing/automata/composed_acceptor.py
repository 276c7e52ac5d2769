"""Composes answers into the language of a question: components are shared unchanged, each computed
once for many questions, and expanded lazily.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from itertools import accumulate

from doorround.hearing.automata.acceptor import Acceptor, Automaton

BEGIN = 0
BETWEEN = 1
LOOP = 2
"""States: the start, between two answers, and the start of a loop."""

After = Mapping[str, Sequence[int]]


class Closure:
    """Closure of answers that may follow each other, identical in every grammar that contains it:
    with the same state numbers, so that results computed at one question apply at the next.
    """

    def __init__(self, answers: Automaton) -> None:
        self.answers = answers
        self.end = LOOP + answers.states
        self._known: dict[int, After] = {}

    def holds(self, state: int) -> bool:
        """Whether a state is in it, or between two of its answers."""
        return BETWEEN <= state < self.end

    def after(self, state: int) -> After:
        """Target state for each word from one of its states."""
        if state not in self._known:
            self._known[state] = _moved(self.answers, state - LOOP, LOOP, BETWEEN)
        return self._known[state]


class Union(Acceptor):
    """One of `alone`; or `first`, if any, followed by `loop` any number of times. Joined by epsilon
    transitions.

    This way the loop exists once; fully expanded, it would be repeated after every end of every
    answer: 20,000 arcs and 50 MB of search tree instead of some 3,000 and 8. Nor is it copied: of
    some 22,000 arcs at a question 20,000 belong to the loop, which is the same at every question of
    a door.
    """

    def __init__(
        self, alone: Sequence[Automaton], first: Automaton | None, loop: Closure | None
    ) -> None:
        self.loop = loop
        self._alone = len(alone)
        self._pieces = [*alone, *([first] if first else [])]
        start = loop.end if loop else LOOP
        self._begins = list(accumulate((piece.states for piece in self._pieces), initial=start))
        self._known: dict[int, After] = {}
        self.joint = LOOP if loop else None

    def after(self, state: int) -> After:
        """Target state for each possible next word, "" for an epsilon transition."""
        if self.loop and LOOP <= state < self.loop.end:
            return self.loop.after(state)
        if state not in self._known:
            self._known[state] = self._after(state)
        return self._known[state]

    def ends(self, state: int) -> bool:
        """Whether an utterance may end in this state."""
        if state < self._begins[0]:
            return state == BETWEEN
        piece, within = self._within(state)
        return piece < self._alone and self._pieces[piece].ends(within)

    @property
    def expanded(self) -> Automaton:
        """Fully expanded."""
        states = range(self._begins[-1])
        arcs = (
            (here, end, word)
            for here in states
            for word, ends in self.after(here).items()
            for end in ends
        )
        return Automaton(tuple(arcs), frozenset(filter(self.ends, states)), self.joint)

    def _within(self, state: int) -> tuple[int, int]:
        """The component that a state belongs to, and its state number there."""
        piece = bisect_right(self._begins, state) - 1
        return piece, state - self._begins[piece]

    def _after(self, state: int) -> After:
        if state == BEGIN:
            firsts = self._begins[: len(self._pieces)]
            return {"": [*firsts, BETWEEN] if self.loop else firsts}
        if state == BETWEEN:
            return {"": [LOOP]} if self.loop else {}
        piece, within = self._within(state)
        return _moved(
            self._pieces[piece],
            within,
            self._begins[piece],
            BETWEEN if piece >= self._alone else None,
        )


def _moved(piece: Automaton, state: int, by: int, behind: int | None) -> After:
    """Target state for each word from a component's state, renumbered. behind: successors of its
    final states.
    """
    moved = {word: [by + end for end in ends] for word, ends in piece.after(state).items()}
    if behind is not None and piece.ends(state):
        moved[""] = [*moved.get("", ()), behind]
    return moved
