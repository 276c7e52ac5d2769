"""All grammar files of a folder: rules by full name, with their networks, phrases and tags."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path

from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.automaton import automaton
from doorround.hearing.grammar.grammar_nfa import (
    GrammarNfa,
    build_grammar_nfa,
    to_jsgf,
    without_options,
)
from doorround.hearing.grammar.grammar_nfa import flat as flat_name
from doorround.hearing.grammar.jsgf import (
    Alternatives,
    Grammar,
    GrammarError,
    Node,
    Sequence,
    Tag,
    Words,
    qualified,
    read_grammar,
    uses,
)
from doorround.hearing.lexicon.g2p import pronunciations_of
from doorround.hearing.lexicon.pronunciations import Phones

NAMING = ".naming"
"""Suffix of a rule name: only the answers that identify their part by themselves."""

FAULTS = ".faults"
"""Suffix of a rule name: only the answers that name a fault."""

MENDED = ".mended"
"""Suffix of a rule name: only the answers that say a fault was put right on the spot."""


SHOWN = 16
"""Number of hex digits of the hash that form a version."""


class GrammarSet:
    """The grammar files of one folder, with rules by full name: "condition.hinges". version: hash
    of all files.

    guessed: custom words with an unverified pronunciation. ways: pronunciations of a word,
    including an organisation's own.
    """

    def __init__(self, grammars: dict[str, Grammar], version: str = "") -> None:
        self.version = version
        self.guessed: frozenset[str] = frozenset()
        self.ways: Callable[[str], tuple[Phones, ...]] = pronunciations_of
        self._nodes = {
            f"{grammar.name}.{rule.name}": qualified(rule.node, _Names(grammar, grammars))
            for grammar in grammars.values()
            for rule in grammar.rules.values()
        }
        self.public = {
            f"{g.name}.{r.name}" for g in grammars.values() for r in g.rules.values() if r.public
        }
        self._networks: dict[str, GrammarNfa] = {}
        self._automata: dict[str, Automaton] = {}
        self._usual: dict[str, dict[str, tuple[str, ...]]] = {}
        self._naming: dict[str, bool] = {}

    @classmethod
    def read(cls, folder: Path) -> GrammarSet:
        """Read every *.jsgf file of a folder. Raises GrammarError with file and line."""
        grammars = {}
        whole = hashlib.sha256()
        for path in sorted(folder.glob("*.jsgf")):
            text = path.read_text(encoding="utf-8")
            whole.update(f"{path.name}\n{text}".encode())
            grammar = read_grammar(text, path.name)
            if grammar.name != path.stem:
                raise GrammarError(
                    f'{path.name}: its grammar is called "{grammar.name}". Call it "{path.stem}".'
                )
            grammars[grammar.name] = grammar
        return cls(grammars, whole.hexdigest()[:SHOWN])

    def with_phrases(
        self, more: Mapping[str, tuple[tuple[str, tuple[str, ...]], ...]], mark: str
    ) -> GrammarSet:
        """A copy whose rules accept further phrases. more: rule → phrases with their tags, placed
        before its own. mark: origin of the phrases; part of the new version.
        """
        other = GrammarSet(
            {}, hashlib.sha256(f"{self.version}\n{mark}".encode()).hexdigest()[:SHOWN]
        )
        other.public = self.public
        other.guessed = self.guessed
        other.ways = self.ways
        added = {name: [_phrase(*each) for each in phrases] for name, phrases in more.items()}
        other._nodes = {
            name: _one_of((*added.get(name, ()), *_choices(node))) if name in added else node
            for name, node in self._nodes.items()
        }
        return other

    def names_itself(self, name: str) -> bool:
        """Whether a rule has answers that identify their part by themselves: "two screws missing",
        "cracked glass".
        """
        if name not in self._naming:
            self._naming[name] = bool(_holding("component=", self.node(name)))
        return self._naming[name]

    def node(self, name: str) -> Node:
        """A rule by its full name; with the suffix NAMING, FAULTS or MENDED, only those answers.

        Raises GrammarError.
        """
        if name.endswith(NAMING):
            return _one_of(_holding("component=", self.node(name.removesuffix(NAMING))))
        if name.endswith(FAULTS):
            return _one_of(_holding("defect=", self.node(name.removesuffix(FAULTS))))
        if name.endswith(MENDED):
            return _one_of(_holding("made_good", self.node(name.removesuffix(MENDED))))
        if name not in self._nodes:
            raise GrammarError(f"There is no rule <{name}> in the grammar files.")
        return self._nodes[name]

    def nfa(self, name: str) -> GrammarNfa:
        """The network of one rule, built once."""
        if name not in self._networks:
            self._networks[name] = build_grammar_nfa(self.node(name), self.node)
        return self._networks[name]

    def network_of(self, body: str) -> GrammarNfa:
        """The network of a rule body with full rule names, such as "[<place.side>]
        <condition.frame>".
        """
        return build_grammar_nfa(_body(body), self.node)

    def automaton_of(self, body: str) -> Automaton:
        """The word sequences that a rule body accepts, without tags, for an engine.

        Referenced rules are compiled once.
        """
        return automaton(build_grammar_nfa(_body(body), self._ready))

    def _ready(self, name: str) -> Automaton:
        if name not in self._automata:
            self._automata[name] = automaton(self.nfa(name))
        return self._automata[name]

    def phrases(self, name: str, most: int = 20_000) -> dict[str, tuple[str, ...]]:
        """Phrases of a rule → their tags; if a phrase occurs twice, the first one written wins."""
        found: dict[str, tuple[str, ...]] = {}
        for phrase, tags in self.nfa(name).phrases(most):
            found.setdefault(phrase, tags)
        return found

    def usual(self, name: str, most: int = 3000) -> dict[str, tuple[str, ...]]:
        """Phrases of a rule without its optional parts → their tags, in the order written."""
        if name not in self._usual:
            node = without_options(self.node(name))
            nfa = build_grammar_nfa(node, self._bare_node) if node else GrammarNfa()
            found: dict[str, tuple[str, ...]] = {}
            for phrase, tags in nfa.phrases(most):
                found.setdefault(phrase, tags)
            self._usual[name] = {phrase: tags for phrase, tags in found.items() if phrase}
        return self._usual[name]

    def _bare_node(self, name: str) -> Node:
        return without_options(self.node(name)) or Sequence(())

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        """Every word of every rule."""
        return frozenset(
            label.text
            for name in self._nodes
            for arcs in self.nfa(name).arcs
            for label, _ in arcs
            if isinstance(label, Words)
        )

    def write_jsgf(self, public: str) -> str:
        """Write one grammar without imports or tags. public: body of its only public rule, as
        written by to_jsgf, with full names in references: "<place.where>".
        """
        body = _body(public)
        needed: dict[str, Node] = {}
        waiting = list(uses(body))
        while waiting:
            name = waiting.pop()
            if name not in needed:
                needed[name] = self.node(name)
                waiting += uses(needed[name])
        rules = [f"<{flat_name(name)}> = {to_jsgf(node)};" for name, node in sorted(needed.items())]
        return "\n".join(
            [
                "#JSGF V1.0;",
                "grammar doorround;",
                f"public <utterance> = {to_jsgf(body)};",
                *rules,
                "",
            ]
        )


def _phrase(said: str, tags: tuple[str, ...]) -> Node:
    return Sequence((*map(Words, said.split()), *map(Tag, tags)))


def _one_of(choices: tuple[Node, ...]) -> Node:
    return Alternatives(choices, (1.0,) * len(choices))


def _holding(tag: str, node: Node) -> tuple[Node, ...]:
    return tuple(choice for choice in _choices(node) if _holds(tag, choice))


def _choices(node: Node) -> tuple[Node, ...]:
    return node.choices if isinstance(node, Alternatives) else (node,)


def _holds(tag: str, node: Node) -> bool:
    match node:
        case Tag(text):
            return text.startswith(tag)
        case Sequence(parts) | Alternatives(parts, _):
            return any(_holds(tag, part) for part in parts)
        case _:
            return False


def _body(text: str) -> Node:
    return (
        read_grammar(f"grammar body;\npublic <utterance> = {text};", "rule body")
        .rules["utterance"]
        .node
    )


class _Names:
    """Short rule names of one file → full names."""

    def __init__(self, grammar: Grammar, grammars: dict[str, Grammar]) -> None:
        self._grammar = grammar
        self._grammars = grammars

    def __call__(self, name: str) -> str:
        place, _, rule = name.rpartition(".")
        owner = place or self._grammar.name
        if place and place != self._grammar.name and place not in self._grammar.imports:
            raise GrammarError(
                f"{self._grammar.name}.jsgf uses <{name}>: add `import <{place}.*>;`."
            )
        other = self._grammars.get(owner)
        if other is None or rule not in other.rules:
            raise GrammarError(
                f"{self._grammar.name}.jsgf uses <{name}>, and there is no such rule."
            )
        if owner != self._grammar.name and not other.rules[rule].public:
            raise GrammarError(
                f"{self._grammar.name}.jsgf uses <{name}>, which is not public in {owner}.jsgf."
            )
        return f"{owner}.{rule}"
