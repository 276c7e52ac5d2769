"""Answers joined into all that may be said at a question: the pieces stay as they are, each worked out once for many
questions, and are looked into only where somebody goes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from itertools import accumulate

from bot.hearing.sayable import Automaton, Sayable

BEGIN, BETWEEN = 0, 1
"""States: where everything begins, and between two answers."""


class Joined(Sayable):
    """One of `alone`; or `first`, if any, and then `loop` any number of times. Joined by steps without a word.

    So joined, the loop stands there once; worked out in full it would stand again behind every end of every answer:
    20,000 arcs and 50 MB of search tree instead of some 3,000 and 8. And it is not copied: of some 22,000 arcs at a
    question 20,000 are the loop's, the same at every question of a door.
    """

    def __init__(self, alone: Sequence[Automaton], first: Automaton | None, loop: Automaton | None) -> None:
        self._pieces = [*alone, *(piece for piece in (first, loop) if piece)]
        self._begins = list(accumulate((piece.states for piece in self._pieces), initial=2))
        self._alone, self._loops = len(alone), loop is not None
        self._known: dict[int, Mapping[str, Sequence[int]]] = {}
        self.joint = self._begins[-2] if loop else None

    def after(self, state: int) -> Mapping[str, Sequence[int]]:
        """Where each word leads that may come next, "" for a step without one."""
        if state not in self._known:
            self._known[state] = self._after(state)
        return self._known[state]

    def ends(self, state: int) -> bool:
        """Whether an utterance may end here."""
        if state in (BEGIN, BETWEEN):
            return state == BETWEEN
        piece, within = self._within(state)
        return piece < self._alone and self._pieces[piece].ends(within)

    @property
    def whole(self) -> Automaton:
        """All of it, written out."""
        states = range(self._begins[-1])
        arcs = ((here, end, word) for here in states for word, ends in self.after(here).items() for end in ends)
        return Automaton(tuple(arcs), frozenset(filter(self.ends, states)), self.joint)

    def _within(self, state: int) -> tuple[int, int]:
        """Which piece a state belongs to, and which state of it that is."""
        piece = bisect_right(self._begins, state) - 1
        return piece, state - self._begins[piece]

    def _after(self, state: int) -> Mapping[str, Sequence[int]]:
        if state == BEGIN:
            firsts = self._begins[: len(self._pieces) - self._loops]
            return {"": [*firsts, BETWEEN] if self._loops else firsts}
        if state == BETWEEN:
            return {"": [self._begins[-2]]} if self._loops else {}
        piece, within = self._within(state)
        begin, after = self._begins[piece], self._pieces[piece].after(within)
        moved = {word: [begin + end for end in ends] for word, ends in after.items()}
        if piece >= self._alone and self._pieces[piece].ends(within):
            moved[""] = [*moved.get("", ()), BETWEEN]
        return moved
