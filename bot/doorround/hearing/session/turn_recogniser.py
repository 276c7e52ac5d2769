"""From a recording to the dialogue's input: the whole recognition of one turn of a talk."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.input_result import (
    AnyHeard,
    Heard,
    HearingRecord,
    OffGrammar,
    Said,
    Silence,
    Unsure,
)
from doorround.domain.values import Command, Word
from doorround.hearing.audio.level import advice_on
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.decision.pipeline import Piece, RecognitionPipeline
from doorround.hearing.engines.recogniser import Outcome, Recognition
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.session.answer_merging import merged
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.question_grammar import grammar_now
from doorround.hearing.session.two_answers import contradicted_keys, reply_and_more
from doorround.messages import recordings
from doorround.messages.replying import TWO_ANSWERS

Interpret = Callable[[str], tuple[Said, ...]]
"""Interprets words at the point of the talk where the recording began."""


@dataclass(frozen=True)
class _Part:
    """One segment between pauses, and its meaning."""

    at: tuple[float, float]
    recognition: Recognition
    guesses: tuple[tuple[Said, ...], ...]
    names: bool = False
    """It is only the name of a part: the next segment is about that part."""

    @property
    def heard(self) -> bool:
        return self.recognition.outcome is Outcome.HEARD and bool(self.guesses)

    def without(self, keys: frozenset[str | None]) -> _Part:
        """A copy without the answers to these questions."""
        left = tuple(each for each in self.guesses[0] if each.question not in keys)
        return replace(self, guesses=(left,) if left else ())


class TurnRecogniser:
    """Follows an utterance segment by segment: each one narrows the grammar of the next."""

    def __init__(self, interpreter: Interpreter, expected: ExpectedInput) -> None:
        self._interpreter = interpreter
        self._expected = expected

    def grammar_after(self, phrase: str | None) -> ActiveGrammar:
        """Grammar of the segment after `phrase`; None at the start."""
        if phrase and (part := self._interpreter.part_named(phrase, self._expected)):
            self._expected = self._expected.about(part)
        elif phrase:
            understood = self._interpreter.words(phrase, self._expected)
            answered = (
                tuple(said.question for said in understood.said if said.question)
                if understood
                else ()
            )
            if answered:
                self._expected = self._expected.after(answered)
            elif understood and understood.said[0].value == Command(word=Word.LET_GO):
                self._expected = self._expected.let_go()
        return grammar_now(self._interpreter, self._expected)

    def names(self, phrase: str | None) -> bool:
        """Whether the phrase only names a part that may be answered here: "hinges"."""
        return (
            bool(phrase) and self._interpreter.part_named(phrase or "", self._expected) is not None
        )

    def answers(self, phrase: str) -> tuple[Said, ...]:
        """Meaning of a phrase at this point; empty if it is not accepted here."""
        understood = self._interpreter.words(phrase, self._expected)
        return understood.said if understood else ()


def recognise_turn(
    pipeline: RecognitionPipeline, interpreter: Interpreter, sound: Sound, expected: ExpectedInput
) -> AnyHeard:
    """Recognise one recording at this point of a talk.

    It may contain several answers separated by pauses.
    """
    recogniser = TurnRecogniser(interpreter, expected)
    parts: list[_Part] = []

    def understood(piece: Piece) -> str | None:
        recognition = piece.recognition
        guesses = _guesses(recogniser, recognition)
        names = (
            recognition.outcome is Outcome.HEARD
            and not guesses
            and recogniser.names(recognition.phrase)
        )
        hearing = pipeline.record(recognition, interpreter.grammar_set.version)
        parts.append(
            _Part((piece.start, piece.end), recognition, _timed(guesses, piece, hearing), names)
        )
        return recognition.phrase if parts[-1].heard or names else None

    speech = detect_speech(sound)
    pipeline.listen_pieces(speech, recogniser.grammar_after, understood)

    def read(words: str) -> tuple[Said, ...]:
        understood = interpreter.words(words, expected)
        return understood.said if understood else ()

    return _advised(_together(parts, expected, sound.sha256, read), speech)


def _advised(heard: AnyHeard, speech: DetectedSpeech) -> AnyHeard:
    """Add advice if the result cannot be entered and the recording itself may be the cause."""
    if isinstance(heard, Heard) or heard.advice:
        return heard
    return heard.model_copy(update={"advice": advice_on(speech)})


def _guesses(recogniser: TurnRecogniser, recognition: Recognition) -> tuple[tuple[Said, ...], ...]:
    """Meanings of the recognised phrase and its runners-up; empty if the phrase itself has none
    here, since a runner-up was then not what was said either.
    """
    best = recogniser.answers(recognition.phrase) if recognition.phrase else ()
    if not best:
        return ()
    others = (
        recogniser.answers(guess.phrase)
        for guess in recognition.guesses
        if guess.phrase != recognition.phrase
    )
    return (best, *(said for said in others if said))


def _timed(
    guesses: tuple[tuple[Said, ...], ...], piece: Piece, hearing: HearingRecord
) -> tuple[tuple[Said, ...], ...]:
    more = {"at": (round(piece.start, 2), round(piece.end, 2)), "hearing": hearing}
    return tuple(tuple(said.model_copy(update=more) for said in guess) for guess in guesses)


def _together(
    parts: list[_Part], expected: ExpectedInput, sha256: str, read: Interpret
) -> AnyHeard:
    if not parts or all(part.recognition.outcome is Outcome.SILENCE for part in parts):
        return Silence(audio_sha256=sha256)
    if len(parts) == 1:
        return _alone(parts[0], sha256)
    if not any(part.heard for part in parts):
        return _off_grammar(parts, sha256)
    return _several(_without_contradicted(parts), expected, sha256, read)


def _without_contradicted(parts: list[_Part]) -> list[_Part]:
    """The segments without contradicted answers; one that contained nothing else is lost."""
    keys = contradicted_keys(said for part in parts if part.heard for said in part.guesses[0])
    return [part.without(keys) if part.heard else part for part in parts]


def _alone(part: _Part, sha256: str) -> AnyHeard:
    if (within := part.recognition.within) is not None:
        advice = recordings.and_more(within)
        return _off_grammar([part], sha256, advice)
    if not part.guesses or part.recognition.outcome not in (
        Outcome.HEARD,
        Outcome.UNSURE,
    ):
        return _off_grammar([part], sha256)
    if part.heard:
        return _as_heard(part.guesses[0], part.recognition, sha256)
    return Unsure(
        guesses=tuple(_as_heard(said, part.recognition, sha256) for said in part.guesses),
        audio_sha256=sha256,
    )


def _off_grammar(parts: list[_Part], sha256: str, advice: str | None = None) -> OffGrammar:
    """The segments' transcripts, each as one clause. If a segment has a single transcript, that
    serves as its alternatives too.
    """
    found = [part.recognition for part in parts]
    return OffGrammar(
        audio_sha256=sha256,
        advice=advice,
        transcript=_clauses(each.transcript for each in found),
        alternative=_clauses(each.rewritten.alternative or each.transcript for each in found),
        prompted=_clauses(each.rewritten.prompted or each.transcript for each in found),
    )


def _clauses(written: Iterable[str]) -> str:
    return ", ".join(filter(None, (each.strip() for each in written)))


def _as_heard(said: tuple[Said, ...], recognition: Recognition, sha256: str) -> Heard:
    return Heard(
        said=said,
        words=" ".join(each.phrase for each in said),
        probability=recognition.probability,
        engine=recognition.engine,
        audio_sha256=sha256,
    )


def _several(parts: list[_Part], expected: ExpectedInput, sha256: str, read: Interpret) -> AnyHeard:
    """Several answers, entered if every segment was understood. Otherwise a pass among them waits
    for a yes, since a lost segment may have reversed it.
    """
    used = [part for part in parts if part.heard or part.names]
    lost = [part for part in parts if part not in used]
    each_said = (each for part in used if part.heard for each in part.guesses[0])
    said = reply_and_more(merged(tuple(each_said)), expected, read)
    if not said:
        return _off_grammar(parts, sha256, TWO_ANSWERS)
    whole = Heard(
        said=said,
        words=", ".join(part.recognition.phrase or "" for part in used),
        probability=min(part.recognition.probability for part in used),
        engine=used[0].recognition.engine,
        audio_sha256=sha256,
        unheard=tuple(f"{int(part.at[0] // 60)}:{int(part.at[0] % 60):02d}" for part in lost),
        lost=tuple((round(part.at[0], 2), round(part.at[1], 2)) for part in lost),
    )
    if lost and polarity_of(said, expected) is Polarity.PASS:
        return Unsure(guesses=(whole,), audio_sha256=sha256)
    return whole
