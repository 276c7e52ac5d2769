"""An acceptor: the language that an engine searches, without meanings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property


class Acceptor:
    """An acceptor given by states and words. States are numbered from 0, the start. joint: where
    another answer can begin after one, if anywhere.
    """

    joint: int | None

    def after(self, state: int) -> Mapping[str, Sequence[int]]:
        """Target state for each possible next word, "" for an epsilon transition."""
        raise NotImplementedError

    def ends(self, state: int) -> bool:
        """Whether an utterance may end in this state."""
        raise NotImplementedError

    @property
    def expanded(self) -> Automaton:
        """Fully expanded."""
        raise NotImplementedError

    def accepts(self, words: Sequence[str]) -> bool:
        """Whether exactly these words are accepted."""
        here = self.reached([0])
        for word in words:
            here = self.reached([end for state in here for end in self.after(state).get(word, ())])
        return any(map(self.ends, here))

    def reached(self, states: Iterable[int]) -> set[int]:
        """Epsilon closure: these states and all reachable without a word."""
        reached = set(states)
        waiting = list(reached)
        while waiting:
            for state in self.after(waiting.pop()).get("", ()):
                if state not in reached:
                    reached.add(state)
                    waiting.append(state)
        return reached


@dataclass(frozen=True)
class Automaton(Acceptor):
    """An expanded acceptor. arcs: (from, to, word), where an empty word is an epsilon transition.
    finals: accepting states.
    """

    arcs: tuple[tuple[int, int, str], ...]
    finals: frozenset[int]
    joint: int | None = None

    @cached_property
    def states(self) -> int:
        """Number of states."""
        return 1 + max((max(begin, end) for begin, end, _ in self.arcs), default=0)

    @property
    def words(self) -> frozenset[str]:
        """The vocabulary."""
        return frozenset(word for *_, word in self.arcs if word)

    @property
    def expanded(self) -> Automaton:
        """Itself."""
        return self

    @cached_property
    def _onward(self) -> dict[int, dict[str, list[int]]]:
        onward: dict[int, dict[str, list[int]]] = {}
        for begin, end, word in self.arcs:
            onward.setdefault(begin, {}).setdefault(word, []).append(end)
        return onward

    def after(self, state: int) -> Mapping[str, Sequence[int]]:
        """Target state for each possible next word, "" for an epsilon transition."""
        return self._onward.get(state, {})

    def ends(self, state: int) -> bool:
        """Whether an utterance may end in this state."""
        return state in self.finals
