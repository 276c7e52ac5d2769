"""From words to answers, for recognised, typed and tapped text alike.

An utterance is a sequence of answers, each to the open question or about a part that it names; the
current part carries over ("hinges … three … all tight"). Every word must be parsed: one that does
not fit makes the whole utterance off grammar, so no "not" is ever lost.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from doorround.dialogue.expected_input import ExpectedInput, twins
from doorround.domain.checklist import Question
from doorround.domain.input_result import By, Heard, OffGrammar, Said, Unsure
from doorround.domain.values import Command, Word
from doorround.english.irony import ends_as_question, may_be_ironic, trails_off
from doorround.english.numbered_leaves import with_named_leaf
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import (
    OWN_WORDS,
    PART_ALONE,
    Utterances,
    beside,
)
from doorround.hearing.lexicon.tokeniser import Readings, readings, split_words
from doorround.hearing.session.answer_search import AnswerSearch, Interpretation
from doorround.hearing.session.batch_answers import of_all_invited, unnamed_doubted
from doorround.hearing.session.corrections import corrected
from doorround.hearing.session.disambiguation import (
    says_which,
    sides,
)
from doorround.hearing.session.either_part import either_part
from doorround.hearing.session.face_names import face_unclear, with_plain_faces
from doorround.hearing.session.late_fault_parser import late_faults, made_good_since
from doorround.hearing.session.leaf_first import with_leaf_behind
from doorround.hearing.session.original_spelling import Spelled, as_it_came
from doorround.hearing.session.two_answers import with_but, with_doubt, yes_and_no
from doorround.hearing.session.whole_messages import whole_message
from doorround.messages import recordings
from doorround.messages.replying import TWO_ANSWERS

MAX_WORDS = 120  # about one whole door; more is rejected, as the search would take minutes


class Interpreter:
    """Parses utterances with one grammar set. Caches compiled networks, no state of any talk."""

    def __init__(self, grammar_set: GrammarSet) -> None:
        self.grammar_set = grammar_set
        self.utterances = Utterances(grammar_set)
        self.search = AnswerSearch(grammar_set, self.utterances)
        self.kept: dict[tuple[object, ...], ActiveGrammar] = {}
        self.usual: dict[tuple[object, ...], tuple[str, ...]] = {}

    def words(
        self, text: str, expected: ExpectedInput, written: bool = False
    ) -> Interpretation | None:
        """Meaning of a text now; None if it has none here. written: it was typed, so it may contain
        denials that the engines' grammar lacks, "no splits or rot".
        """
        as_said = text
        if written and (named := with_named_leaf(text)) != text:
            found = self.words(named, expected, written)
            return found and replace(found, said=_as_written(found.said, as_said, expected))
        text = with_plain_faces(text, expected.faces, expected.face)
        if not (spelled := split_words(text)):
            return None
        if together := of_all_invited(text, expected):
            return Interpretation(together, 0)
        # a button uses the door's own name of the face, and a note is stored as written
        if whole := whole_message(as_said, split_words(as_said), expected):
            return Interpretation((whole,), 0)
        unclear = yes_and_no(spelled) or face_unclear(as_said, expected.faces, expected.face)
        if len(spelled) > MAX_WORDS or unclear:
            return None
        tokens = [readings(word, self.grammar_set.vocabulary) for word in spelled]
        if not all(tokens):
            return None
        spelling = Spelled(text, tokens)
        understood = (
            self._whole(tokens, expected)
            or self._put_right(tokens, expected)
            or self.search.best_path(spelling, expected, written)
        )
        understood = understood or self._of_another(spelling, expected, written)
        if understood is None and (turned := with_leaf_behind(as_said, expected)):
            found = self.words(turned, expected, written)
            return found and replace(found, said=_as_written(found.said, as_said, expected))
        if understood is None:
            return None
        said = with_doubt(as_it_came(understood.said, text), spelled)
        said = with_but(said, spelled, expected)
        return replace(understood, said=unnamed_doubted(said, tokens, expected, self.utterances))

    def either(self, text: str, expected: ExpectedInput) -> tuple[Said, ...]:
        """Both meanings of a typed fault that may be about the previous part or the current one; ()
        for any other text.
        """
        spelled = split_words(text)
        tokens = [readings(word, self.grammar_set.vocabulary) for word in spelled[:MAX_WORDS]]
        if not spelled or len(spelled) > MAX_WORDS or not all(tokens):
            return ()
        meant = either_part(Spelled(text, tokens), expected, self.utterances)
        return meant if len(meant) > 1 else ()

    def part_named(self, text: str, expected: ExpectedInput) -> Question | None:
        """The question that the next words will answer, if the text only names a part: "other side
        frame".
        """
        tokens = [((word, 0),) for word in split_words(text)]
        for match in self._ends(self.utterances.nfa(PART_ALONE).matches(tokens), tokens):
            for question in expected.asked:
                if (
                    f"component={question.component}" in match.tags
                    and question.component != "register"
                ):
                    if any(twins(question, other) for other in expected.before) and not says_which(
                        question, match
                    ):
                        continue
                    if targets := sides(question, match.tags, expected):
                        return targets[0]
        return None

    def _put_right(self, tokens: Readings, expected: ExpectedInput) -> Interpretation | None:
        """A statement that an open fault of a part outside the question was put right. It is no
        answer about the part's other face, which nobody has seen yet.
        """
        asked = expected.open.component if expected.open else None
        stand = (each for each in expected.mendable if each.component != asked)
        found = made_good_since(tokens, stand, self.utterances)
        return Interpretation(*found) if found else None

    def _of_another(
        self, text: Spelled, expected: ExpectedInput, written: bool
    ) -> Interpretation | None:
        """A correction of the last answer, or a statement about a part outside the question."""
        if found := corrected(text, expected, self.utterances):
            return Interpretation((found[0],), found[1])
        if len(one := either_part(text, expected, self.utterances)) == 1:
            return Interpretation(one, 0)
        if later := late_faults(text.tokens, expected, self.utterances):
            return Interpretation(*later)
        return self._beside(text.tokens, expected) if written else None

    def _beside(self, tokens: Readings, expected: ExpectedInput) -> Interpretation | None:
        """A fault of a named part, while something else is being read back."""
        there = replace(expected, parts=expected.beside, beside=())
        found = late_faults(tokens, there, self.utterances) if expected.beside else None
        fault = found and polarity_of(found[0], there) is Polarity.DEFECT
        return Interpretation(*found) if found and fault else None

    def _whole(self, tokens: Readings, expected: ExpectedInput) -> Interpretation | None:
        """A command, or a yes or no to a read-back: these are complete utterances."""
        if expected.yes_no:
            for match in self._ends(self.grammar_set.nfa("yes_no.right").matches(tokens), tokens):
                word = Word.YES if "yes" in match.tags else Word.NO
                return Interpretation((_command(Command(word=word), tokens),), match.repairs)
        for rule in ("always.words", OWN_WORDS, *beside(expected)):
            for match in self._ends(self.grammar_set.nfa(rule).matches(tokens), tokens):
                value = value_of(match.tags)
                if isinstance(value, Command):
                    return Interpretation((_command(value, tokens),), match.repairs)
        return None

    @staticmethod
    def _ends(matches: Iterable[Match], tokens: Readings) -> Iterator[Match]:
        return (match for match in matches if match.end == len(tokens))


def _as_written(said: tuple[Said, ...], text: str, expected: ExpectedInput) -> tuple[Said, ...]:
    """Answers parsed from reordered words, with the original wording. Those to another question,
    such as that of the other leaf, are read back.
    """
    asked = expected.open.key if expected.open else None
    return tuple(
        each.model_copy(
            update={"verbatim": text.strip(), "hedged": each.hedged or each.question != asked}
        )
        for each in said
    )


def _command(value: Command, tokens: Readings) -> Said:
    return Said(question=None, value=value, phrase=" ".join(token[0][0] for token in tokens))


def _advice(words: Sequence[str]) -> str | None:
    if len(words) > MAX_WORDS:
        return recordings.TOO_MUCH_SAID
    return TWO_ANSWERS if yes_and_no(words) else None


def typed(
    interpreter: Interpreter, text: str, expected: ExpectedInput, by: By = By.TYPING
) -> Heard | Unsure | OffGrammar:
    """Typed or tapped words as input to the dialogue.

    A pass needs confirmation if a slip was corrected, or the text may be ironic or a question, or
    trails off.
    """
    understood = interpreter.words(text, expected, written=True)
    if understood is None:
        either = interpreter.either(text, expected)
        nearest = tuple(
            Heard(by=by, said=(each,), words=text.strip(), engine="typed") for each in either
        )
        advice = _advice(split_words(text))
        return OffGrammar(by=by, words=text, advice=advice, nearest=nearest)
    heard = Heard(by=by, said=understood.said, words=text.strip(), engine="typed")
    doubtful = understood.repairs or may_be_ironic(text)
    doubtful = doubtful or ends_as_question(text) or trails_off(text)
    doubtful = doubtful and polarity_of(understood.said, expected) is Polarity.PASS
    return Unsure(by=by, guesses=(heard,)) if doubtful else heard
