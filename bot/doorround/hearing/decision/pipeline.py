"""The recognition pipeline: speech detection, hypotheses, probabilities and decision."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from doorround.domain.costs import Decision, choose
from doorround.domain.input_result import HearingRecord
from doorround.hearing.audio.level import Backdrop, backdrop
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.decision.accept_gate import (
    MIN_COVERED,
    coverage_doubt,
    doubt_of,
    is_too_unlikely,
    phrase_within,
    shared_out,
)
from doorround.hearing.decision.calibration import FILE as CALIBRATION
from doorround.hearing.decision.calibration import Calibration, read_calibration, way_of
from doorround.hearing.decision.engine_ensemble import EngineEnsemble
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.moonshine_engine import MoonshineEngine
from doorround.hearing.engines.recogniser import (
    NOT_REWRITTEN,
    Guess,
    Outcome,
    Recogniser,
    Recognition,
)
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.error_costs import read_costs

JOIN = 1.0
"""Maximum pause, in seconds, between two segments that may be one answer; they are joined if the
first alone is not understood.
"""

MAX_ANSWER = 12.0
"""Maximum time from the first word to the last, in seconds: longer speech is conversation, and an
answer within it cannot be trusted.
"""

OUTCOMES = {
    Decision.ACCEPT: Outcome.HEARD,
    Decision.READ_BACK: Outcome.UNSURE,
    Decision.ASK_AGAIN: Outcome.OFF_GRAMMAR,
}


@dataclass(frozen=True)
class Piece:
    """Recognition of one segment between pauses. start, end: in seconds."""

    start: float
    end: float
    recognition: Recognition


class RecognitionPipeline:
    """Recognition with one or more engines. proposer: any engine; listener: the closed-set one or
    None.
    """

    def __init__(
        self,
        proposer: Recogniser | None,
        listener: WhisperEngine | None = None,
        calibration: Path = CALIBRATION,
        second: MoonshineEngine | None = None,
    ) -> None:
        """second: the second listener, only with the first. calibration: file of coefficients.
        Raises OSError, or ValueError if it does not contain them.
        """
        self.ensemble = EngineEnsemble(proposer, listener, second)
        self.name = self.ensemble.name
        self.use(read_calibration(way_of(self.name), calibration))
        self._fitted = hashlib.sha256(calibration.read_bytes()).hexdigest()[:16]

    @property
    def has_listener(self) -> bool:
        """Whether there is a listener, whose own parameters can be fitted too."""
        return self.ensemble.listener is not None

    def use(self, calibration: Calibration) -> None:
        """Use this calibration from now on, with the listener's parameters it was fitted with."""
        self.calibration = calibration
        if self.ensemble.listener:
            self.ensemble.listener.tune(calibration.tuning)

    def listen(
        self,
        recording: Sound | DetectedSpeech,
        grammar: ActiveGrammar,
        background: Backdrop | None = None,
    ) -> Recognition:
        """Recognise one recording under the grammar, as a whole or not at all.

        background: the noise, if the recording is a segment of a longer one.
        """
        began = time.perf_counter()
        speech = detect_speech(recording)
        if not speech.anyone:
            return self._recognition(Outcome.SILENCE, (), 0.0, began, speech.sound)
        found = speech.segments
        if found and found[-1].end - found[0].start > MAX_ANSWER:
            return self._recognition(Outcome.OFF_GRAMMAR, (), 0.0, began, speech.sound)
        scored = self.score_phrases(speech, grammar, background)
        if scored.guesses:
            decided = self.decide(scored, grammar, speech)
        else:
            decided = self._recognition(Outcome.OFF_GRAMMAR, (), 0.0, began, speech.sound)
        named = decided.phrase is not None and grammar.read(decided.phrase).name
        answered = decided.outcome is Outcome.HEARD and not named
        transcript = scored.transcript or ("" if answered else scored.write())
        refused = decided.outcome is Outcome.OFF_GRAMMAR
        rewritten = scored.rewrite(grammar.prompt) if refused else NOT_REWRITTEN
        return replace(
            decided,
            transcript=transcript,
            rewritten=rewritten,
            seconds=time.perf_counter() - began,
        )

    def decide(
        self,
        scored: ScoredHypotheses,
        grammar: ActiveGrammar,
        speech: DetectedSpeech,
    ) -> Recognition:
        """Decide from the evidence whether to enter, read back or ask again."""
        began = time.perf_counter()
        sound = speech.sound
        best = scored.guesses[0].phrase
        covered = self.calibration.covered(best, scored.evidence)
        right, opposite = self.probabilities(scored, grammar)
        if covered < MIN_COVERED or is_too_unlikely(scored, right, grammar, self.calibration):
            refused = self._recognition(Outcome.OFF_GRAMMAR, (), 0.0, began, sound)
            said = self.calibration.probability(scored.evidence)
            return replace(
                refused,
                covered=covered,
                why=coverage_doubt(covered),
                within=phrase_within(best, covered, said),
            )
        choice = choose(right, opposite, grammar.read(best).stakes, read_costs())
        outcome = OUTCOMES[choice.decision]
        why = None
        if outcome is Outcome.HEARD:
            why = doubt_of(scored, grammar, speech, self.calibration.tuning.near)
            outcome = Outcome.UNSURE if why else outcome
        else:
            why = coverage_doubt(covered)
        guesses = shared_out(scored.guesses, right)
        recognition = self._recognition(outcome, guesses, right, began, sound)
        return replace(recognition, opposite=opposite, costs=choice.costs, why=why, covered=covered)

    def listen_pieces(
        self,
        recording: Sound | DetectedSpeech,
        grammar_for: Callable[[str | None], ActiveGrammar],
        understood: Callable[[Piece], str | None] | None = None,
    ) -> list[Piece]:
        """Recognise several answers, split at pauses; each segment is one answer or none.

        grammar_for: grammar of what follows a phrase (None: at the start). understood: called with
        every piece; returns the phrase to continue from, None for no change. The default returns
        each recognised phrase.
        """
        speech = detect_speech(recording)
        cuts = speech.segments
        background = backdrop(speech)
        if len(cuts) < 2:
            alone = self.listen(speech, grammar_for(None), background)
            whole = Piece(0.0, speech.sound.seconds, alone)
            if understood:
                understood(whole)
            return [whole]
        heard: list[Piece] = []
        grammar = grammar_for(None)
        place = 0
        while place < len(cuts):
            piece, used = self._one_or_joined(
                speech.sound,
                grammar,
                [(cut.start, cut.end) for cut in cuts[place : place + 2]],
                background,
            )
            heard.append(piece)
            phrase = understood(piece) if understood else _heard_phrase(piece)
            grammar = grammar_for(phrase) if phrase else grammar
            place += used
        return heard

    def score_phrases(
        self,
        recording: Sound | DetectedSpeech,
        grammar: ActiveGrammar,
        background: Backdrop | None = None,
    ) -> ScoredHypotheses:
        """Scored hypotheses, before the decision; no guesses if no engine finds a valid phrase."""
        return self.ensemble.score_phrases(
            detect_speech(recording), grammar, self.calibration, background
        )

    def probabilities(
        self, scored: ScoredHypotheses, grammar: ActiveGrammar
    ) -> tuple[float, float]:
        """Probabilities of the best guess and of its opposite, which is 0 if it has none."""
        covered = self.calibration.covered(scored.guesses[0].phrase, scored.evidence)
        right = self.calibration.probability(scored.evidence) * covered
        if grammar.polarity(scored.guesses[0].phrase) is Polarity.NEITHER:
            return right, 0.0
        return right, min(1 - right, self.calibration.opposite.probability(scored.evidence))

    def record(self, recognition: Recognition, grammar: str) -> HearingRecord:
        """Details of the recognition, for the logbook. grammar: version of the grammar files."""
        decided = {
            Outcome.HEARD: Decision.ACCEPT,
            Outcome.UNSURE: Decision.READ_BACK,
        }
        return HearingRecord(
            engines=self.ensemble.versions,
            grammar=grammar,
            calibration=self._fitted,
            right=round(recognition.probability, 4),
            opposite=round(recognition.opposite, 6),
            alternatives=tuple(
                (guess.phrase, round(guess.probability, 4)) for guess in recognition.guesses[1:]
            ),
            decision=decided.get(recognition.outcome, Decision.ASK_AGAIN),
            costs=dict(recognition.costs),
            why=recognition.why,
            covered=round(recognition.covered, 4),
            transcript=recognition.transcript,
        )

    def _one_or_joined(
        self,
        sound: Sound,
        grammar: ActiveGrammar,
        cuts: list[tuple[float, float]],
        background: Backdrop,
    ) -> tuple[Piece, int]:
        """The first segment, or the first two as one answer if the first alone is none.

        Also returns the number of segments used.
        """
        (start, end), *after = cuts
        alone = Piece(start, end, self.listen(sound.cut(start, end), grammar, background))
        if alone.recognition.outcome is Outcome.HEARD or not after or after[0][0] - end > JOIN:
            return alone, 1
        joined = Piece(
            start, after[0][1], self.listen(sound.cut(start, after[0][1]), grammar, background)
        )
        return (joined, 2) if joined.recognition.outcome is Outcome.HEARD else (alone, 1)

    def _recognition(
        self,
        outcome: Outcome,
        guesses: tuple[Guess, ...],
        probability: float,
        began: float,
        sound: Sound,
    ) -> Recognition:
        named = outcome in (Outcome.HEARD, Outcome.UNSURE)
        return Recognition(
            outcome=outcome,
            phrase=guesses[0].phrase if named else None,
            probability=probability if named else 0.0,
            guesses=guesses if named else (),
            engine=self.name,
            seconds=time.perf_counter() - began,
            audio_seconds=sound.seconds,
        )


def _heard_phrase(piece: Piece) -> str | None:
    return piece.recognition.phrase if piece.recognition.outcome is Outcome.HEARD else None
