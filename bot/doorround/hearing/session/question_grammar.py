"""From the state of the talk to the grammar for an engine."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Condition, Value
from doorround.hearing.grammar.active_grammar import ActiveGrammar, PhraseReading, plain_reading
from doorround.hearing.grammar.polarity import polarity_of, stakes_of
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.session.interpretation import Interpreter

# The closed-set listener takes about 4 ms to score a phrase; with this many there is no delay.
MAX_SHORT = 40
# Cached grammars: two doors' worth, about 50 kB each.
MAX_KEPT = 64
MAX_ELSEWHERE = 6
"""Maximum number of answers to other questions that compete with a phrase."""
# Wordings of "sound" in the short list: many, since this meaning must be recognised correctly.
WAYS_OF_SOUND = 8
# Wordings of each fault in the short list.
WAYS_OF_A_FAULT = 2

_COMMANDS = (
    "skip this",
    "say again",
    "go back",
    "help me",
    "what can I say",
    "undo that",
    "take a note",
    "pause check",
    "finish check",
    "cancel check",
)


def grammar_now(interpreter: Interpreter, expected: ExpectedInput) -> ActiveGrammar:
    """The grammar and short list of phrases at this point of a talk. Cached, since a round asks the
    same questions at each door.
    """
    kept = interpreter.kept
    signature = expected.signature
    if signature not in kept:
        if len(kept) >= MAX_KEPT:
            kept.pop(next(iter(kept)))
        kept[signature] = _new_grammar(interpreter, expected)
    return kept[signature]


def _new_grammar(interpreter: Interpreter, expected: ExpectedInput) -> ActiveGrammar:
    body = interpreter.utterances.body(expected)
    short = tuple(dict.fromkeys(_short(interpreter, expected)))[:MAX_SHORT]

    @lru_cache(maxsize=2048)
    def read(phrase: str) -> PhraseReading:
        understood = interpreter.words(phrase, expected)
        if understood:
            return _reading(understood.said, expected)
        # "hinges …" by itself: the next answer is about them
        named = interpreter.part_named(phrase, expected) is not None
        return replace(plain_reading(phrase), known=named, name=named, usual=False)

    key = hashlib.sha256(
        "\n".join([interpreter.grammar_set.version, body, *short]).encode()
    ).hexdigest()[:16]

    @lru_cache(maxsize=256)
    def elsewhere(phrase: str) -> tuple[str, ...]:
        whole = interpreter.utterances.joined(expected)
        others = interpreter.utterances.answers(expected.parts)
        return tuple(
            others.near(phrase, lambda said: not whole.accepts(said.split()), MAX_ELSEWHERE)
        )

    return ActiveGrammar(
        key=key,
        short=short,
        write=lambda: interpreter.grammar_set.write_jsgf(body),
        read=read,
        acceptor=lambda: interpreter.utterances.joined(expected),
        elsewhere=elsewhere,
    )


def _reading(said: tuple[Said, ...], expected: ExpectedInput) -> PhraseReading:
    gists = dict.fromkeys(
        f"{one.question} {one.value.model_dump_json()}{'?' if one.hedged else ''}" for one in said
    )
    usual = any(one.question and not one.correction for one in said) or (
        expected.yes_no and not said[0].question
    )
    return PhraseReading(
        polarity_of(said, expected),
        "; ".join(gists),
        stakes_of(said, expected),
        usual,
        aside=_is_aside(said, expected),
    )


def _is_aside(said: tuple[Said, ...], expected: ExpectedInput) -> bool:
    """Whether the whole utterance concerns parts other than that of the open question."""
    asked = expected.open.component if expected.open else None
    parts = {part.key: part.component for part in expected.parts}
    told = {parts.get(one.question) for one in said if one.question}
    return asked is not None and bool(told) and asked not in told


def _short(interpreter: Interpreter, expected: ExpectedInput) -> Iterator[str]:
    if expected.yes_no:
        yield from ("yes", "no", "that is right", "that is wrong")
        for question in expected.last:
            yield from (phrase for phrase in _usual(interpreter, question))
    if expected.invited:
        yield from ("all sound", "all fine")
    if expected.open:
        yield from _usual(interpreter, expected.open)
        yield "cannot check"
    if expected.stage is Stage.SUMMARY:
        yield "finish check"
    if expected.stage in (Stage.PAUSED, Stage.SUMMARY):
        yield "carry on"
    yield from (command.lower() for command in _COMMANDS)


def _gist(value: Value | Command) -> str:
    """Key of a phrase's meaning, ignoring places and numbers of screws."""
    if isinstance(value, Condition):
        return " ".join(defect.name for defect in value.defects)
    return value.model_dump_json()


def _usual(interpreter: Interpreter, question: Question) -> tuple[str, ...]:
    """The buttons' phrases, then the first wordings of each meaning. Cached, since a round asks the
    same questions at each door.
    """
    name = question.says, question.kind, question.unit, question.taps
    if name not in interpreter.usual:
        interpreter.usual[name] = tuple(_first_ways(interpreter, question))
    return interpreter.usual[name]


def _first_ways(interpreter: Interpreter, question: Question) -> Iterator[str]:
    yield from (tap.lower() for tap in question.taps)
    ways: dict[str, int] = {}
    for phrase, tags in interpreter.grammar_set.usual(question.says).items():
        meaning = _gist(value_of(tags, question.unit))
        most = WAYS_OF_SOUND if "sound" in tags else WAYS_OF_A_FAULT
        if question.kind in ("count", "measure"):
            most = 1
        ways[meaning] = ways.get(meaning, 0) + 1
        if ways[meaning] <= most:
            yield phrase
