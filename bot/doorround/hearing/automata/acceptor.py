"""What may be said, without its meaning: what an engine searches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property


class Acceptor:
    """What may be said, as states and words only. States are numbered from 0, the start. joint:
    where another answer begins after one, if anywhere.
    """

    joint: int | None

    def after(self, state: int) -> Mapping[str, Sequence[int]]:
        """Where each word leads that may come next, "" for a step without one."""
        raise NotImplementedError

    def ends(self, state: int) -> bool:
        """Whether an utterance may end here."""
        raise NotImplementedError

    @property
    def whole(self) -> Automaton:
        """All of it, written out."""
        raise NotImplementedError

    def accepts(self, words: Sequence[str]) -> bool:
        """Whether these words, all of them, may be said."""
        here = self.reached([0])
        for word in words:
            here = self.reached([end for state in here for end in self.after(state).get(word, ())])
        return any(map(self.ends, here))

    def reached(self, states: Iterable[int]) -> set[int]:
        """These states and all that lie behind them without a word."""
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
    """The same written out. arcs: (from, to, word), where an empty word means a step without one.
    finals: where an utterance may end.
    """

    arcs: tuple[tuple[int, int, str], ...]
    finals: frozenset[int]
    joint: int | None = None

    @cached_property
    def states(self) -> int:
        """How many there are."""
        return 1 + max((max(begin, end) for begin, end, _ in self.arcs), default=0)

    @property
    def words(self) -> frozenset[str]:
        """Every word that may be said."""
        return frozenset(word for *_, word in self.arcs if word)

    @property
    def whole(self) -> Automaton:
        """Itself."""
        return self

    @cached_property
    def _onward(self) -> dict[int, dict[str, list[int]]]:
        onward: dict[int, dict[str, list[int]]] = {}
        for begin, end, word in self.arcs:
            onward.setdefault(begin, {}).setdefault(word, []).append(end)
        return onward

    def after(self, state: int) -> Mapping[str, Sequence[int]]:
        """Where each word leads that may come next, "" for a step without one."""
        return self._onward.get(state, {})

    def ends(self, state: int) -> bool:
        """Whether an utterance may end here."""
        return state in self.finals
