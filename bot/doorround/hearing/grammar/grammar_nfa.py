"""A grammar rule as a network of words, for matching, for listing phrases and for export to an
engine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.jsgf import (
    Alternatives,
    GrammarError,
    Node,
    Optional,
    Ref,
    Repeat,
    Tag,
    Words,
)
from doorround.hearing.grammar.jsgf import Sequence as Parts

# full rule name, "place.where" → its node with full names inside, or its compiled automaton
Lookup = Callable[[str], "Node | Automaton"]


@dataclass(frozen=True)
class Match:
    """A match of the rule, ending before token `end`. tags: in spoken order. repairs: number of
    words read as other words.
    """

    end: int
    tags: tuple[str, ...]
    repairs: int


@dataclass
class GrammarNfa:
    """States and arcs. An arc carries a word, a tag or nothing. 0 is the start, `final` the end."""

    arcs: list[list[tuple[Words | Tag | None, int]]] = field(default_factory=lambda: [[]])
    final: int = 0
    _onward: dict[int, dict[str, list[int]]] = field(
        default_factory=dict, repr=False, compare=False
    )

    def state(self) -> int:
        self.arcs.append([])
        return len(self.arcs) - 1

    def matches(self, tokens: Sequence[Sequence[tuple[str, int]]], begin: int = 0) -> list[Match]:
        """All matches from `begin`, one for each possible end, fewest repairs first.

        tokens: the possible readings of each word, with their repairs (0: as typed).
        """
        found: dict[int, Match] = {}
        here, firsts = self._begun
        if begin >= len(tokens) or firsts.isdisjoint(word for word, _ in tokens[begin]):
            return []
        for place in range(begin, len(tokens) + 1):
            here = self._free_moves(here) if place > begin else here
            if self.final in here and place > begin:
                found[place] = Match(place, here[self.final][1], here[self.final][0])
            if place == len(tokens) or not here:
                break
            here = self._spoken(here, tokens[place])
        return sorted(found.values(), key=lambda match: (match.repairs, -match.end))

    @cached_property
    def _begun(self) -> tuple[dict[int, tuple[int, tuple[str, ...]]], frozenset[str]]:
        """The states before any word, and the possible first words: most rules match no word of
        most talk.
        """
        here = self._free_moves({0: (0, ())})
        return here, frozenset(word for state in here for word in self._words_from(state))

    def _words_from(self, state: int) -> dict[str, list[int]]:
        """The words on the arcs from a state, each with its target states."""
        if state not in self._onward:
            onward: dict[str, list[int]] = {}
            for label, target in self.arcs[state]:
                if isinstance(label, Words):
                    onward.setdefault(label.text, []).append(target)
            self._onward[state] = onward
        return self._onward[state]

    def _spoken(
        self, here: dict[int, tuple[int, tuple[str, ...]]], readings: Sequence[tuple[str, int]]
    ) -> dict[int, tuple[int, tuple[str, ...]]]:
        after: dict[int, tuple[int, tuple[str, ...]]] = {}
        for state, (repairs, tags) in here.items():
            onward = self._words_from(state)
            for reading, more in readings:
                for target in onward.get(reading, ()):
                    _keep(after, target, repairs + more, tags)
        return after

    def _free_moves(
        self, here: dict[int, tuple[int, tuple[str, ...]]]
    ) -> dict[int, tuple[int, tuple[str, ...]]]:
        reached = dict(here)
        waiting = list(here)
        while waiting:
            state = waiting.pop(0)
            repairs, tags = reached[state]
            for label, target in self.arcs[state]:
                if isinstance(label, Words):
                    continue
                more = (*tags, label.text) if isinstance(label, Tag) else tags
                if _keep(reached, target, repairs, more):
                    waiting.append(target)
        return reached

    def phrases(self, most: int = 100_000) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Phrases of the rule with their tags, each repeated part said once; at most `most`."""
        stack: list[tuple[int, tuple[str, ...], tuple[str, ...], frozenset[int]]] = [
            (0, (), (), frozenset())
        ]
        given = 0
        while stack and given < most:
            state, words, tags, seen = stack.pop()
            if state == self.final:
                given += 1
                yield " ".join(words), tags
            for label, target in reversed(self.arcs[state]):
                if target in seen:
                    continue
                after = seen | {state}
                if isinstance(label, Words):
                    stack.append((target, (*words, label.text), tags, after))
                else:
                    stack.append((target, words, (*tags, label.text) if label else tags, after))


def _keep(
    kept: dict[int, tuple[int, tuple[str, ...]]], state: int, repairs: int, tags: tuple[str, ...]
) -> bool:
    if state in kept and kept[state][0] <= repairs:
        return False
    kept[state] = (repairs, tags)
    return True


def build_grammar_nfa(node: Node | Automaton, lookup: Lookup) -> GrammarNfa:
    """The network of one rule, with the rules it uses expanded.

    Raises GrammarError on recursion.
    """
    nfa = GrammarNfa()
    nfa.final = nfa.state()
    _lay(nfa, node, 0, nfa.final, lookup, ())
    return nfa


def _lay(
    nfa: GrammarNfa,
    node: Node | Automaton,
    begin: int,
    end: int,
    lookup: Lookup,
    inside: tuple[str, ...],
) -> None:
    match node:
        case Words() | Tag():
            nfa.arcs[begin].append((node, end))
        case Ref(name):
            if name in inside:
                raise GrammarError(
                    f"<{name}> uses itself: {' → '.join((*inside, name))}. Write it out instead."
                )
            _lay(nfa, lookup(name), begin, end, lookup, (*inside, name))
        case Parts(parts):
            _lay_in_a_row(nfa, parts, begin, end, lookup, inside)
        case Alternatives(choices, _):
            for choice in choices:
                _lay(nfa, choice, begin, end, lookup, inside)
        case Optional(part):
            nfa.arcs[begin].append((None, end))
            _lay(nfa, part, begin, end, lookup, inside)
        case Repeat(part, least):
            _lay_repeat(nfa, part, begin, end, lookup, inside, least)
        case Automaton():
            _lay_automaton(nfa, node, begin, end)


def _lay_automaton(nfa: GrammarNfa, ready: Automaton, begin: int, end: int) -> None:
    own = [nfa.state() for _ in range(ready.states)]
    nfa.arcs[begin].append((None, own[0]))
    for here, there, word in ready.arcs:
        nfa.arcs[own[here]].append((Words(word) if word else None, own[there]))
    for state in ready.finals:
        nfa.arcs[own[state]].append((None, end))


def _lay_in_a_row(
    nfa: GrammarNfa,
    parts: tuple[Node, ...],
    begin: int,
    end: int,
    lookup: Lookup,
    inside: tuple[str, ...],
) -> None:
    for part in parts[:-1]:
        step = nfa.state()
        _lay(nfa, part, begin, step, lookup, inside)
        begin = step
    if parts:
        _lay(nfa, parts[-1], begin, end, lookup, inside)
    else:
        nfa.arcs[begin].append((None, end))


def _lay_repeat(
    nfa: GrammarNfa,
    part: Node,
    begin: int,
    end: int,
    lookup: Lookup,
    inside: tuple[str, ...],
    least: int,
) -> None:
    first = nfa.state()
    last = nfa.state()
    nfa.arcs[begin].append((None, first))
    _lay(nfa, part, first, last, lookup, inside)
    nfa.arcs[last] += [(None, end), (None, first)]
    if least == 0:
        nfa.arcs[begin].append((None, end))


def to_jsgf(node: Node) -> str:
    """A node as JSGF text, without its tags; "" for a tag."""
    match node:
        case Words(text):
            return text
        case Tag():
            return ""
        case Ref(name):
            return f"<{flat(name)}>"
        case Parts(parts):
            return " ".join(filter(None, map(to_jsgf, parts)))
        case Alternatives(choices, weights):
            lines = [to_jsgf(choice) for choice in choices]
            if any(weight != 1 for weight in weights):
                lines = [
                    f"/{weight:g}/ {line}" for weight, line in zip(weights, lines, strict=True)
                ]
            return f"({' | '.join(lines)})"
        case Optional(part):
            return f"[{to_jsgf(part)}]"
        case Repeat(part, least):
            return f"({to_jsgf(part)}){'+' if least else '*'}"


def without_options(node: Node) -> Node | None:
    """The node without its optional parts: the shortest wording.

    None if nothing is left.
    """
    match node:
        case Optional():
            return None
        case Repeat(part, least):
            return without_options(part) if least else None
        case Parts(parts):
            left = [kept for part in parts if (kept := without_options(part)) is not None]
            return Parts(tuple(left)) if left else None
        case Alternatives(choices, _):
            kept_choices = [
                kept for choice in choices if (kept := without_options(choice)) is not None
            ]
            return (
                Alternatives(tuple(kept_choices), (1.0,) * len(kept_choices))
                if kept_choices
                else None
            )
        case _:
            return node


def flat(name: str) -> str:
    """A full rule name as a name in a grammar without imports: place.where → place_where."""
    return name.replace(".", "_")
