"""Parser for grammar files in the JSpeech Grammar Format.

Source: JSpeech Grammar Format, W3C Note, 5 June 2000. Supported: header, imports, public and
private rules, weighted alternatives, sequences, groups, optional parts, `*`, `+`, quoted tokens,
tags, both kinds of comment. Rejected: recursion (every grammar here is finite apart from `*` and
`+`), `<NULL>` and `<VOID>`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from lark import Lark, Transformer, v_args
from lark.exceptions import UnexpectedInput, VisitError

_SYNTAX = r"""
start: header? declaration imports* rule*
header: "#JSGF" /V[\d.]+/ NAME? NAME? ";"
declaration: "grammar" NAME ";"
imports: "import" "<" NAME [".*"] ">" ";"
rule: PUBLIC? "<" NAME ">" "=" alternatives ";"
PUBLIC: "public"
alternatives: weighted ("|" weighted)*
weighted: WEIGHT? sequence
sequence: tagged+
tagged: repeated TAG*
repeated: atom STAR -> star
        | atom PLUS -> plus
        | atom -> once
?atom: WORD -> word
     | QUOTED -> quoted
     | "<" NAME ">" -> reference
     | "(" alternatives ")" -> group
     | "[" alternatives "]" -> optional
STAR: "*"
PLUS: "+"
WEIGHT: /\/\d+(\.\d+)?\//
TAG: /\{[^}]*\}/
NAME: /[A-Za-z_][\w\-]*(\.[A-Za-z_][\w\-]*)*/
QUOTED: /"[^"]*"/
WORD: /[A-Za-z'][A-Za-z0-9'\-]*/
COMMENT: /\/\/[^\n]*/ | /\/\*(.|\n)*?\*\//
%ignore COMMENT
%ignore /\s+/
"""


class GrammarError(ValueError):
    """A grammar file cannot be used. Says which file, where, and what to do."""


@dataclass(frozen=True)
class Words:
    """One spoken token."""

    text: str


@dataclass(frozen=True)
class Ref:
    """A reference to a rule: "place.where"."""

    name: str


@dataclass(frozen=True)
class Tag:
    """A meaning, such as "defect=painted"."""

    text: str


@dataclass(frozen=True)
class Sequence:
    """Parts one after the other."""

    parts: tuple[Node, ...]


@dataclass(frozen=True)
class Alternatives:
    """weights: one for each choice, 1 if not given."""

    choices: tuple[Node, ...]
    weights: tuple[float, ...]


@dataclass(frozen=True)
class Optional:
    """`[part]`: optional."""

    part: Node


@dataclass(frozen=True)
class Repeat:
    """`*` (`least` is 0) or `+` (`least` is 1)."""

    part: Node
    least: int


Node = Words | Ref | Tag | Sequence | Alternatives | Optional | Repeat


@dataclass(frozen=True)
class GrammarRule:
    """One rule of a file. public: other files may use it, and it may be said by itself."""

    name: str
    public: bool
    node: Node


@dataclass(frozen=True)
class Grammar:
    """One file: its name, imports and rules."""

    name: str
    imports: tuple[str, ...]
    rules: dict[str, GrammarRule]


@v_args(inline=True)
class _Build(Transformer[Any, Any]):
    def word(self, token: Any) -> Node:
        return Words(str(token).lower())

    def quoted(self, token: Any) -> Node:
        words = tuple(Words(word) for word in str(token)[1:-1].lower().split())
        return words[0] if len(words) == 1 else Sequence(words)

    def reference(self, name: Any) -> Node:
        return Ref(str(name))

    def group(self, inner: Node) -> Node:
        return inner

    def optional(self, inner: Node) -> Node:
        return Optional(inner)

    def once(self, atom: Node) -> Node:
        return atom

    def star(self, atom: Node, _sign: Any) -> Node:
        return Repeat(atom, 0)

    def plus(self, atom: Node, _sign: Any) -> Node:
        return Repeat(atom, 1)

    def tagged(self, node: Node, *tags: Any) -> Node:
        return Sequence((node, *(Tag(str(tag)[1:-1].strip()) for tag in tags))) if tags else node

    def sequence(self, *parts: Node) -> Node:
        return parts[0] if len(parts) == 1 else Sequence(parts)

    def weighted(self, *parts: Any) -> tuple[float, Node]:
        return (float(str(parts[0]).strip("/")), parts[1]) if len(parts) == 2 else (1.0, parts[0])

    def alternatives(self, *choices: tuple[float, Node]) -> Node:
        if len(choices) == 1:
            return choices[0][1]
        return Alternatives(
            tuple(node for _, node in choices), tuple(weight for weight, _ in choices)
        )

    def rule(self, *parts: Any) -> GrammarRule:
        *public, name, node = parts
        return GrammarRule(str(name), bool(public), node)

    def imports(self, name: Any, *_star: Any) -> tuple[str, str]:
        return ("import", str(name).split(".")[0])

    def declaration(self, name: Any) -> tuple[str, str]:
        return ("grammar", str(name))

    def header(self, *_parts: Any) -> tuple[str, str]:
        return ("header", "")

    def start(self, *parts: Any) -> Grammar:
        named = [part for part in parts if isinstance(part, tuple)]
        rules = [part for part in parts if isinstance(part, GrammarRule)]
        name = next(value for kind, value in named if kind == "grammar")
        return Grammar(
            name, tuple(value for kind, value in named if kind == "import"), _by_name(name, rules)
        )


def _by_name(grammar: str, rules: list[GrammarRule]) -> dict[str, GrammarRule]:
    found: dict[str, GrammarRule] = {}
    for rule in rules:
        if rule.name in found:
            raise GrammarError(f"{grammar}.jsgf: rule <{rule.name}> stands there twice. Keep one.")
        found[rule.name] = rule
    return found


@lru_cache(maxsize=1)
def _reader() -> Lark:
    return Lark(_SYNTAX, parser="lalr", maybe_placeholders=False)


def read_grammar(text: str, file_name: str) -> Grammar:
    """Parse one grammar file. Raises GrammarError with file, line and column."""
    try:
        tree = _reader().parse(text)
    except UnexpectedInput as error:
        near = error.get_context(text, span=30).strip().splitlines()[0]
        raise GrammarError(
            f"{file_name}, line {error.line}, column {error.column}: not JSGF near «{near}»"
        ) from error
    try:
        built = _Build().transform(tree)
    except VisitError as error:
        raise error.orig_exc from error
    if not isinstance(built, Grammar):
        raise GrammarError(f"{file_name}: no grammar in it")
    return built


def uses(node: Node) -> Iterator[str]:
    """Names of the rules that a node refers to."""
    match node:
        case Ref(name):
            yield name
        case Sequence(parts) | Alternatives(parts, _):
            for part in parts:
                yield from uses(part)
        case Optional(part) | Repeat(part, _):
            yield from uses(part)
        case _:
            return


def qualified(node: Node, known: Callable[[str], str]) -> Node:
    """The node with full rule names. known: short or full name → full name."""
    match node:
        case Ref(name):
            return Ref(known(name))
        case Sequence(parts):
            return Sequence(tuple(qualified(part, known) for part in parts))
        case Alternatives(choices, weights):
            return Alternatives(tuple(qualified(choice, known) for choice in choices), weights)
        case Optional(part):
            return Optional(qualified(part, known))
        case Repeat(part, least):
            return Repeat(qualified(part, known), least)
        case _:
            return node
