"""An organisation's own phrases in the grammar, after all checks. A meaning is never invented: it
is that of a phrase which the question already understands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.checklist import Checklist, Question
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Condition, Defect
from doorround.hearing.adaptation.own_words import (
    OwnPhrase,
    OwnWords,
    plain_phrase,
    with_phrase,
    without_phrase,
    wrong,
)
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.confusable_pairs import ConfusablePairs
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.polarity import value_polarity
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.interpretation import Interpreter

Tags = tuple[str, ...]
BEFORE_AN_ANSWER = (
    "filler.noise",
    "filler.hedge",
    "filler.link",
    "filler.no",
    "filler.fault",
    "component.any",
)
"""Rules for words around answers: none of their phrases may itself be an answer."""


@dataclass(frozen=True)
class _Added:
    phrase: OwnPhrase
    asked: Question
    tags: Tags

    @property
    def polarity(self) -> Polarity:
        value = value_of(self.tags, self.asked.unit)
        return Polarity.NEITHER if isinstance(value, Command) else value_polarity(value, self.asked)


def with_own_words(grammar_set: GrammarSet, own: OwnWords, checklist: Checklist) -> GrammarSet:
    """The grammar with the organisation's phrases. Raises OwnWordsError, with the line and what to
    do, for a phrase whose meaning is unknown, that already has a meaning, or that sounds like the
    opposite.
    """
    if not own.text.strip():
        return grammar_set
    understanding = Interpreter(grammar_set)
    added = [_understood(phrase, grammar_set, checklist) for phrase in own.phrases]
    for each in added:
        _means_nothing_else(each, understanding, checklist)
    _agree(added)
    plain = grammar_set.with_phrases(_by_rule(added), own.text)
    _sound_apart(added, ConfusablePairs(checklist, plain, own.ways))
    ready = grammar_set.with_phrases(_by_rule(added, own.guesses), own.text)
    ready.guessed = own.guesses
    ready.ways = own.ways
    return ready


def _understood(phrase: OwnPhrase, grammar_set: GrammarSet, checklist: Checklist) -> _Added:
    try:
        asked = checklist.ask(phrase.question)
    except KeyError as error:
        raise wrong(
            phrase.line,
            f'There is no question "{phrase.question}". See doorround questions for their keys.',
        ) from error
    tokens = [((word, 0),) for word in split_words(phrase.known_phrase)]
    whole = [
        match for match in grammar_set.nfa(asked.says).matches(tokens) if match.end == len(tokens)
    ]
    if not whole:
        usual = ", ".join(f'"{each}"' for each in list(grammar_set.usual(asked.says))[:4])
        raise wrong(
            phrase.line,
            f'"{phrase.known_phrase}" is not an answer to {phrase.question}. Let it mean a phrase'
            f" that is, such as {usual}.",
        )
    return _Added(phrase, asked, whole[0].tags)


def _means_nothing_else(added: _Added, interpreter: Interpreter, checklist: Checklist) -> None:
    """The same words at another question must have the same meaning."""
    say = added.phrase.say
    line = added.phrase.line
    tokens = [((word, 0),) for word in say.split()]
    for rule in BEFORE_AN_ANSWER:
        if any(
            match.end == len(tokens) for match in interpreter.grammar_set.nfa(rule).matches(tokens)
        ):
            raise wrong(
                line,
                f'"{say}" is said around answers, so it can be none itself. Take another phrase.',
            )
    for question, said, slips in _meanings(say, interpreter, checklist):
        if slips:
            raise wrong(
                line,
                f'"{say}" is a slip of the finger away from "{said.phrase}". Take another phrase.',
            )
        if question.says == added.asked.says and said.question == question.key:
            raise wrong(
                line, f'"{say}" is understood at {question.key} already. Leave this entry out.'
            )
        if said.value != value_of(added.tags, added.asked.unit):
            meaning = f"({said.phrase}) at {said.question}" if said.question else "as a command"
            raise wrong(
                line, f'"{say}" means something else already, {meaning}. Take another phrase.'
            )


def _meanings(
    say: str, interpreter: Interpreter, checklist: Checklist
) -> Iterator[tuple[Question, Said, int]]:
    """The meaning of words at any question: open, just answered, or read back.

    The number of corrected typing errors comes last.
    """
    for question in checklist.question:
        others = tuple(each for each in checklist.question if each.key != question.key)
        for now in (
            ExpectedInput(Stage.ASKING, question, others, (question,), parts=checklist.question),
            ExpectedInput(Stage.CONFIRMING, last=(question,), yes_no=True),
        ):
            understood = interpreter.words(say, now)
            if understood:
                yield from ((question, said, understood.repairs) for said in understood.said)


def _agree(added: list[_Added]) -> None:
    """The same words have the same meaning wherever they are an answer, listed once per kind of
    answer.
    """
    for place, each in enumerate(added):
        for other in added[:place]:
            if other.phrase.say != each.phrase.say:
                continue
            if other.asked.says == each.asked.says:
                raise wrong(
                    each.phrase.line,
                    f'"{each.phrase.say}" stands on line {other.phrase.line} too, for the same'
                    " answers. Keep one.",
                )
            if value_of(other.tags, other.asked.unit) != value_of(each.tags, each.asked.unit):
                raise wrong(
                    each.phrase.line,
                    f'"{each.phrase.say}" means something else on line {other.phrase.line}. Take'
                    " another phrase here.",
                )


def _sound_apart(added: list[_Added], near: ConfusablePairs) -> None:
    for each in added:
        if "hedge" in each.tags or "partial" in each.tags:
            continue  # always read back
        if pair := near.too_near(each.asked, each.phrase.say, each.polarity):
            other = pair.other if pair.one == each.phrase.say else pair.one
            raise wrong(
                each.phrase.line,
                f'"{each.phrase.say}" sounds too much like "{other}", which means the opposite at'
                f" {each.asked.key}: {pair.distance:.1f} apart, {near.rules.least} is the least."
                " Take a longer or a different phrase.",
            )


def _by_rule(
    added: list[_Added], guesses: frozenset[str] = frozenset()
) -> dict[str, tuple[tuple[str, Tags], ...]]:
    """Rule → phrases with their tags.

    A phrase with a word of uncertain pronunciation is read back.
    """
    found: dict[str, tuple[tuple[str, Tags], ...]] = {}
    for each in added:
        unsure = guesses.intersection(each.phrase.say.split()) and "hedge" not in each.tags
        tags = (*each.tags, "hedge") if unsure else each.tags
        found[each.asked.says] = (*found.get(each.asked.says, ()), (each.phrase.say, tags))
    return found


def words_for_fault(
    own: OwnWords,
    words: str,
    fault: str,
    question: str,
    grammar_set: GrammarSet,
    checklist: Checklist,
) -> tuple[str, str]:
    """The text of words.toml with words mapped to a fault, by name, at a question, in place of what
    they meant there before; and the phrase that already means it. After all checks. Raises
    ValueError saying why it is not possible.
    """
    asked = checklist.ask(question)
    phrase = _phrase_of(with_own_words(grammar_set, own, checklist), asked, fault)
    if phrase is None:
        raise ValueError(f'No phrase of "{question}" means that fault, so no words can.')
    new = OwnPhrase(plain_phrase(words), phrase, question)
    text = with_phrase(without_phrase(own, new), new)
    with_own_words(grammar_set, OwnWords.of_text(text, own.known), checklist)
    return text, phrase


def _phrase_of(grammar_set: GrammarSet, question: Question, fault: str) -> str | None:
    """A phrase of the question that means exactly this fault."""
    for phrase, tags in grammar_set.usual(question.says).items():
        value = value_of(tags, question.unit) if f"defect={fault}" in tags else None
        if value == Condition(defects=(Defect(name=fault),)):
            return phrase
    return None
