"""A word grammar as a lazily expanded trie of Whisper tokens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from doorround.hearing.automata.acceptor import Acceptor
from doorround.hearing.automata.composed_acceptor import Closure, Union

Place = frozenset[tuple[int, tuple[int, ...]]]
"""Position in a phrase: state of the grammar, and the tokens so far of the next word."""


@dataclass(frozen=True)
class TrieNode:
    """The expanded part of a grammar: transitions, tokens that only begin another answer, and final
    places; words and epsilon closures of states.
    """

    steps: dict[Place, dict[int, Place]] = field(default_factory=dict)
    again: dict[Place, frozenset[int]] = field(default_factory=dict)
    ends: dict[Place, bool] = field(default_factory=dict)
    onward: dict[int, list[tuple[tuple[int, ...], int]]] = field(default_factory=dict)
    closed: dict[int, tuple[int, ...]] = field(default_factory=dict)


class TokenTrie:
    """The allowed token sequences."""

    def __init__(
        self,
        grammar: Acceptor,
        spell: Callable[[str, bool], tuple[int, ...]],
        loop: TrieNode | None = None,
    ) -> None:
        """spell: tokens of a word, given whether it begins the phrase. loop: of the grammar's loop,
        if it has one shared with other grammars.
        """
        self._spell = spell
        self._grammar = grammar
        self._opened = TrieNode()
        self._of_loop = loop or TrieNode()
        self._loop: Closure | None = (
            grammar.loop if loop is not None and isinstance(grammar, Union) else None
        )
        self.start: Place = frozenset((self._mark_first(state), ()) for state in self._reached(0))

    def after(self, place: Place) -> dict[int, Place]:
        """Each possible next token, and its target."""
        for opened in (self._opened, self._of_loop):
            if place in opened.steps:
                return opened.steps[place]
        return self._open(place)

    def again(self, place: Place) -> frozenset[int]:
        """Tokens after a place that can only begin another answer."""
        self.after(place)
        found = self._opened.again.get(place)
        return self._of_loop.again[place] if found is None else found

    def ends(self, place: Place) -> bool:
        """Whether a phrase may end here."""
        self.after(place)
        found = self._opened.ends.get(place)
        return self._of_loop.ends[place] if found is None else found

    def _open(self, place: Place) -> dict[int, Place]:
        found: dict[int, set[tuple[int, tuple[int, ...]]]] = {}
        within = set[int]()
        again = set[int]()
        for state, said in place:
            for tokens, to in self._words_from(state):
                if tokens[: len(said)] != said or len(tokens) == len(said):
                    continue
                more = tokens[: len(said) + 1]
                (again if state == self._grammar.joint and not said else within).add(more[-1])
                here = found.setdefault(more[-1], set())
                here.update(
                    ((other, ()) for other in self._reached(to))
                    if more == tokens
                    else [(state, more)]
                )
        opened = self._of_loop if all(self._in_loop(state) for state, _ in place) else self._opened
        opened.steps[place] = {token: frozenset(there) for token, there in found.items()}
        opened.again[place] = frozenset(again - within)
        opened.ends[place] = any(
            not said and self._grammar.ends(self._unmarked(state)) for state, said in place
        )
        return opened.steps[place]

    def _in_loop(self, state: int) -> bool:
        return self._loop is not None and self._loop.holds(self._unmarked(state))

    def _mark_first(self, state: int) -> int:
        """A state at the start of a phrase, where words are capitalised: below zero."""
        return -1 - state

    def _unmarked(self, state: int) -> int:
        return state if state >= 0 else -1 - state

    def _words_from(self, state: int) -> list[tuple[tuple[int, ...], int]]:
        onward = (self._of_loop if self._in_loop(state) else self._opened).onward
        if state not in onward:
            after = self._grammar.after(self._unmarked(state))
            onward[state] = [
                (self._spell(word, state < 0), to)
                for word, ends in after.items()
                if word
                for to in ends
            ]
        return onward[state]

    def _reached(self, state: int) -> tuple[int, ...]:
        """The relevant states in this one's epsilon closure: those with a word transition, or
        final.
        """
        closed = (self._of_loop if self._in_loop(state) else self._opened).closed
        if state not in closed:
            reached = self._grammar.reached([state])
            closed[state] = tuple(
                one
                for one in sorted(reached)
                if self._grammar.ends(one) or any(self._grammar.after(one))
            )
        return closed[state]
