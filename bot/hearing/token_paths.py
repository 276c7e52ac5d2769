"""A grammar of words as paths of Whisper's tokens, opened only as far as a search goes."""

from __future__ import annotations

from collections.abc import Callable

from bot.hearing.network import Automaton

Place = frozenset[tuple[int, tuple[int, ...]]]
"""Where a phrase stands: state of the grammar, and the tokens said so far of the word that leads on from there."""


class TokenPaths:
    """The tokens that may follow one another. spell: a word's tokens, and whether it begins the phrase."""

    def __init__(self, grammar: Automaton, spell: Callable[[str, bool], tuple[int, ...]]) -> None:
        self._spell = spell
        self._words: dict[int, list[tuple[str, int]]] = {}
        self._silent: dict[int, list[int]] = {}
        for begin, end, word in grammar.arcs:
            if word:
                self._words.setdefault(begin, []).append((word, end))
            else:
                self._silent.setdefault(begin, []).append(end)
        self._finals, self._joint = grammar.finals, grammar.joint
        self._again: dict[Place, frozenset[int]] = {}
        self._closed: dict[int, tuple[int, ...]] = {}
        self._steps: dict[Place, dict[int, Place]] = {}
        self._ends: dict[Place, bool] = {}
        self._first = -1
        self._onward: dict[int, list[tuple[tuple[int, ...], int]]] = {}
        self.start: Place = frozenset((self._mark_first(state), ()) for state in self._reached(0))

    def after(self, place: Place) -> dict[int, Place]:
        """Each token that may come next, and where it leads."""
        if place not in self._steps:
            found: dict[int, set[tuple[int, tuple[int, ...]]]] = {}
            within, again = set[int](), set[int]()
            for state, said in place:
                for tokens, to in self._words_from(state):
                    if tokens[: len(said)] != said or len(tokens) == len(said):
                        continue
                    more = tokens[: len(said) + 1]
                    (again if state == self._joint and not said else within).add(more[-1])
                    here = found.setdefault(more[-1], set())
                    here.update(((other, ()) for other in self._reached(to)) if more == tokens else [(state, more)])
            self._steps[place] = {token: frozenset(there) for token, there in found.items()}
            self._again[place] = frozenset(again - within)
        return self._steps[place]

    def again(self, place: Place) -> frozenset[int]:
        """Those of the tokens after a place that can only begin another answer."""
        self.after(place)
        return self._again[place]

    def ends(self, place: Place) -> bool:
        """Whether a phrase may end here."""
        if place not in self._ends:
            self._ends[place] = any(not said and self._unmarked(state) in self._finals for state, said in place)
        return self._ends[place]

    def _mark_first(self, state: int) -> int:
        """A state as the beginning of a phrase, where words are spelled with a capital: below zero."""
        return -1 - state

    def _unmarked(self, state: int) -> int:
        return state if state >= 0 else -1 - state

    def _words_from(self, state: int) -> list[tuple[tuple[int, ...], int]]:
        if state not in self._onward:
            words = self._words.get(self._unmarked(state), [])
            self._onward[state] = [(self._spell(word, state < 0), to) for word, to in words]
        return self._onward[state]

    def _reached(self, state: int) -> tuple[int, ...]:
        if state not in self._closed:
            reached, waiting = {state}, [state]
            while waiting:
                for there in self._silent.get(waiting.pop(), ()):
                    if there not in reached:
                        reached.add(there)
                        waiting.append(there)
            self._closed[state] = tuple(sorted(one for one in reached if one in self._words or one in self._finals))
        return self._closed[state]
