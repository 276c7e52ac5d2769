"""A grammar of words as paths of Whisper's tokens, opened only as far as a search goes."""

from __future__ import annotations

from collections.abc import Callable

from bot.hearing.sayable import Sayable

Place = frozenset[tuple[int, tuple[int, ...]]]
"""Where a phrase stands: state of the grammar, and the tokens said so far of the word that leads on from there."""


class TokenPaths:
    """The tokens that may follow one another. spell: a word's tokens, and whether it begins the phrase."""

    def __init__(self, grammar: Sayable, spell: Callable[[str, bool], tuple[int, ...]]) -> None:
        self._spell, self._grammar = spell, grammar
        self._again: dict[Place, frozenset[int]] = {}
        self._closed: dict[int, tuple[int, ...]] = {}
        self._steps: dict[Place, dict[int, Place]] = {}
        self._ends: dict[Place, bool] = {}
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
                    (again if state == self._grammar.joint and not said else within).add(more[-1])
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
            self._ends[place] = any(not said and self._grammar.ends(self._unmarked(state)) for state, said in place)
        return self._ends[place]

    def _mark_first(self, state: int) -> int:
        """A state as the beginning of a phrase, where words are spelled with a capital: below zero."""
        return -1 - state

    def _unmarked(self, state: int) -> int:
        return state if state >= 0 else -1 - state

    def _words_from(self, state: int) -> list[tuple[tuple[int, ...], int]]:
        if state not in self._onward:
            after = self._grammar.after(self._unmarked(state))
            self._onward[state] = [
                (self._spell(word, state < 0), to) for word, ends in after.items() if word for to in ends
            ]
        return self._onward[state]

    def _reached(self, state: int) -> tuple[int, ...]:
        """The states behind this one without a word that matter: a word leads on from them, or a phrase may end."""
        if state not in self._closed:
            reached = self._grammar.reached([state])
            self._closed[state] = tuple(
                one for one in sorted(reached) if self._grammar.ends(one) or any(self._grammar.after(one))
            )
        return self._closed[state]
