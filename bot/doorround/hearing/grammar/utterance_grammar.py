"""The grammar of a whole utterance at this point of the talk, composed from the grammar files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.automata.composed_acceptor import Closure, Union
from doorround.hearing.grammar.grammar_nfa import GrammarNfa
from doorround.hearing.grammar.grammar_set import FAULTS, MENDED, NAMING, GrammarSet
from doorround.hearing.lexicon.soundalikes import SoundAlikes
from doorround.hearing.lru_cache import LruCache

# Cached parts of the grammar: about five new ones for each question, and one for each kind of door.
MAX_KEPT = 256
# Kinds of door whose part-naming answers are cached, about 5 MB each.
MAX_LOOPS = 8

SIDE = "[<place.side>]"
THE = "[the]"
"""Before a part's name: "the hinges are loose"."""

PART_ALONE = f"{THE} {SIDE} <component.any> {SIDE}"
"""Only a part's name, then a pause: the next answer is about that part."""


TOGETHER = (
    f"{THE} <component.any> ([and] {THE} <component.any>)* and {THE} <component.any>"
    " [are | are both | both | all | look | both look]"
)
"""Two or more parts with one shared answer after them: "frame, leaf and glass fine"."""
_TWO = ("sign", "frame", "leaf", "glass", "closer")
"""Parts with two questions: only for these do engines accept the side after the name too."""
_ONE = ("sign", "label")
"""Parts that are never "they"."""
_SHARED = "fine | okay | good | all good | all fine | sound | undamaged | damaged"


def bare(question: Question) -> str:
    """An answer to the open question, without the part's name."""
    side = "" if question.component == "register" else SIDE
    return f"({_answer(question)} | {_none(question)}) {side}"


def _none(question: Question) -> str:
    """Reasons why there is no answer. A choice has its own phrases for absence: "no glass"."""
    return f"<cannot.check> | <cannot.{'inapplicable' if question.kind == 'choice' else 'absent'}>"


def _answer(question: Question) -> str:
    """An answer; a fault also after "there's a bit of"."""
    before = "fault_of_one" if question.component in _ONE else "fault"
    faults = (
        f" | <filler.{before}> <{question.says}{FAULTS}>" if question.kind == "condition" else ""
    )
    return f"<{question.says}>{faults}"


def _begun(question: Question) -> str:
    """An answer as engines accept it, also after "it's".

    Typed text may have more words around it: see Understanding.
    """
    many = question.kind == "condition" and question.component not in _ONE
    before = "what" if question.kind == "choice" else "before" if many else "single"
    return f"{_answer(question)} | <filler.{before}> <{question.says}>"


def named(question: Question) -> str:
    """An answer that names its part: "hinges all tight", "other side frame fine", "second leaf
    seals painted".
    """
    leaf = "[<place.leaf>]" if first_leaf_key(question.key) in EACH_LEAF else ""
    part = f"{THE} {SIDE} {leaf} <component.{question.component}> {SIDE}"
    return f"{part} [<filler.link>] {bare(question)}"


def naming(question: Question) -> str:
    """An answer that identifies its part by itself: "two screws missing", "it's wedged open"."""
    return f"{THE} <{question.says}{NAMING}> {SIDE}"


def made_good(question: Question) -> str:
    """A statement that the question's open fault was put right on the spot, including the button's
    wording.
    """
    return f"[<filler.no>] <{question.says}{MENDED}>"


WATCH = {"ready": ("stopwatch.let_go",), "running": ("stopwatch.let_go", "stopwatch.shut")}
"""Rules that start and stop the stopwatch while a closing time may be taken."""
OWN_WORDS = "offered.own"
"""Rule for saying that the previous words describe a fault."""
OFFERED = "offered.which"
"""Rule for choosing one of the meanings just offered for them."""


def beside(expected: ExpectedInput) -> tuple[str, ...]:
    """Rules that are complete utterances here but not everywhere. Engines accept "that's a fault"
    only after words that were not understood.
    """
    own = (OWN_WORDS, OFFERED) if expected.choices else (OWN_WORDS,) if expected.unread else ()
    return (*WATCH.get(expected.watch, ()), *own)


class Utterances:
    """Networks for the parts of an utterance, built once for each question."""

    def __init__(self, grammar_set: GrammarSet) -> None:
        self.grammar_set = grammar_set
        self._networks: dict[str, GrammarNfa] = {}
        self._automata: dict[str, Automaton] = {}
        self._loops: LruCache[str, Closure] = LruCache(MAX_LOOPS)
        self._answers: LruCache[tuple[str, ...], SoundAlikes] = LruCache(MAX_LOOPS)

    def nfa(self, body: str) -> GrammarNfa:
        """The network of a rule body as written by bare() or named()."""
        if body not in self._networks:
            self._networks[body] = self.grammar_set.network_of(body)
        return self._networks[body]

    def body(self, expected: ExpectedInput) -> str:
        """One rule body for every utterance accepted now."""
        alone = list(self._alone(expected))
        first = self._first(expected)
        loop = self._loop(expected)
        chain = f"{f'[{first}]' if first else ''} {f'({loop})*' if loop else ''}".strip()
        return " | ".join(f"({part})" for part in [*alone, *([chain] if chain else [])])

    def joined(self, expected: ExpectedInput) -> Union:
        """The same for an engine: the union of the parts' minimal automata, each compiled once."""
        first = self._first(expected)
        loop = self._loop(expected)
        return Union(
            [self._ready(part) for part in self._alone(expected)],
            self._ready(first) if first else None,
            self._loops.get(loop, lambda: Closure(self._ready(loop))) if loop else None,
        )

    def answers(self, parts: Sequence[Question]) -> SoundAlikes:
        """The usual answers about any of these parts, indexed for search by sound."""
        rules = tuple(
            dict.fromkeys(
                each.says for each in parts if each.kind in ("condition", "choice", "yes_no")
            )
        )
        return self._answers.get(
            rules,
            lambda: SoundAlikes(
                chain.from_iterable(map(self.grammar_set.usual, rules)), self.grammar_set.ways
            ),
        )

    def _ready(self, body: str) -> Automaton:
        if body not in self._automata:
            if len(self._automata) >= MAX_KEPT:
                self._automata.pop(next(iter(self._automata)))
            self._automata[body] = self.grammar_set.automaton_of(body)
        return self._automata[body]

    @staticmethod
    def _alone(expected: ExpectedInput) -> Iterator[str]:
        """Complete utterances: a command, a reason for no answer, yes or no, a correction."""
        yield " | ".join(f"<{rule}>" for rule in ("always.words", *beside(expected)))
        if expected.parts:
            yield PART_ALONE
            yield f"<component.any> and <component.any> [are | both] ({_SHARED})"
        if expected.yes_no:
            yield "<yes_no.right>"
            yield from (f"[<filler.no>] <{question.says}>" for question in expected.last)
        else:
            yield "<yes_no.wrong>"
            yield from (f"<filler.no> <{question.says}>" for question in expected.last)
        yield from (made_good(question) for question in expected.mendable)
        if expected.open:
            yield f"[<filler.hedge>] ({_none(expected.open)})"

    @staticmethod
    def _first(expected: ExpectedInput) -> str:
        """An answer to the open question; answers that name their part may follow it."""
        if not expected.open:
            return ""
        same = [each for each in expected.others if each.component == expected.spoken]
        answers = dict.fromkeys(_begun(each) for each in (expected.open, *same))
        return f"[<filler.hedge>] ({' | '.join(answers)}) {SIDE} [<filler.hedge>]"

    def _loop(self, expected: ExpectedInput) -> str:
        """An answer that names its part. It covers all parts of the door, answered or not, so it is
        the same at every question and no answer about a part is forced into another phrase.
        """
        parts = " | ".join(self._parts(expected))
        return f"[and] {THE} ({parts})" if parts else ""

    def _parts(self, expected: ExpectedInput) -> Iterator[str]:
        """For each part of the door: its name with one or two answers; "three hinges, all tight";
        and answers that identify the part by themselves, such as "two screws missing".
        """
        says: dict[str, list[str]] = {}
        for question in expected.parts:
            kinds = says.setdefault(question.component, [])
            if question.component != "register" and question.says not in kinds:
                kinds.append(question.says)
        for component, rules in says.items():
            if rules:
                # Two answers only in the order of the questions: both orders would double the
                # largest automaton.
                first, *more = (f"<{rule}>" for rule in rules)
                answers = " | ".join([f"{first} [{' | '.join(more)}]" if more else first, *more])
                yield (
                    f"{SIDE} <component.{component}> {SIDE if component in _TWO else ''} [is | are]"
                    f" ({answers})"
                )
                yield from (
                    f"<{rule}{NAMING}>" for rule in rules if self.grammar_set.names_itself(rule)
                )
                if more and "count.hinges" in rules:
                    yield f"<number.digit> <component.hinges> [{' | '.join(more)}]"
