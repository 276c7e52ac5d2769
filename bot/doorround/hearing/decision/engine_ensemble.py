"""The engines side by side: what each hears of a recording, as evidence in one place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from functools import partial

from doorround.hearing.audio.level import Backdrop, backdrop
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech
from doorround.hearing.decision.calibration import Calibration
from doorround.hearing.decision.competitors import competitors_of
from doorround.hearing.decision.coverage import Listeners, covered
from doorround.hearing.decision.rescoring import rescore
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.moonshine_engine import Fit, MoonshineEngine, TakenIn
from doorround.hearing.engines.recogniser import Recogniser
from doorround.hearing.engines.score import Encoded
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar


class EngineEnsemble:
    """One engine, or two or three behind one opinion. proposer: any engine; judge: the closed-set
    listener or None; companion: the second listener, beside the judge only.
    """

    def __init__(
        self,
        proposer: Recogniser | None,
        judge: WhisperEngine | None = None,
        companion: MoonshineEngine | None = None,
    ) -> None:
        if judge is None and isinstance(proposer, WhisperEngine):
            proposer, judge = None, proposer
        if proposer is None and judge is None:
            raise ValueError("An ear needs an engine.")
        self.proposer = proposer
        self.judge = judge
        self.companion = companion
        engines = [engine for engine in (proposer, judge, companion) if engine]
        self.name = "+".join(engine.name for engine in engines)
        self.versions = {engine.name: engine.version for engine in engines}
        # the second listener takes the sound in while the first does: a tenth of a turn, where a
        # core is free
        self._beside = ThreadPoolExecutor(1)

    def weigh(
        self,
        speech: DetectedSpeech,
        allowed: ActiveGrammar,
        calibration: Calibration,
        behind: Backdrop | None = None,
    ) -> ScoredHypotheses:
        """The evidence for what was said, before it is judged; no guesses where no engine hears any
        allowed phrase.

        behind: what sounds behind the words, where the recording is a piece of a longer one.
        """
        behind = behind or backdrop(speech)
        if self.judge is None:
            proposals = self.proposer.guesses(speech, allowed) if self.proposer else ()
            weighed = ScoredHypotheses(proposals, proposals[0].evidence if proposals else {})
        else:
            companion = self.companion
            taken_in = self._beside.submit(companion.encode, speech.around) if companion else None
            encoded = self.judge.encode(speech)
            weighed = ScoredHypotheses(())
            if encoded:
                weighed = self._judged(encoded, speech.around, allowed, taken_in, calibration)
            if encoded:
                taken = taken_in.result() if taken_in else None
                heard_by = Listeners(self.judge, encoded, companion, taken)
                if weighed.guesses:
                    weighed = covered(
                        weighed, allowed, heard_by, speech.around, speech.spoken, calibration
                    )
                weighed = replace(weighed, write=partial(heard_by.written, speech.spoken))
        more = {
            "voice": float(speech.probabilities.max()),
            "depth": behind.depth,
            "quiet": behind.depth,
            "murmur": behind.murmur,
        }
        return replace(weighed, evidence={**weighed.evidence, **more})

    def _judged(
        self,
        encoded: Encoded,
        speech: Sound,
        allowed: ActiveGrammar,
        taken_in: Future[TakenIn] | None,
        calibration: Calibration,
    ) -> ScoredHypotheses:
        """What the judge makes of it, with the opinions of the engines beside it."""
        second = partial(self.proposer.choose, speech) if self.proposer else None
        companion = self.companion
        assert self.judge

        def fits(phrases: Sequence[str]) -> Callable[[], Mapping[str, Fit]]:
            assert companion and taken_in
            return self._beside.submit(companion.fits, taken_in.result(), phrases).result

        shortlist = calibration.tuning.shortlist
        opinions = fits if companion else None
        return rescore(self.judge, encoded, second, allowed, opinions, shortlist)

    def knows(self, word: str) -> bool:
        """Whether a word may stand in a grammar.

        The listener scores any; an engine with a dictionary does not.
        """
        knows = getattr(self.proposer, "knows", None)
        return bool(knows(word)) if knows else True

    def learn(self, word: str, ways: Sequence[str]) -> None:
        """Teach an engine with a dictionary how a word is said: phones of the CMU dictionary, each
        way a string.
        """
        learn = getattr(self.proposer, "learn", None)
        if learn and not self.knows(word):
            learn(word, ways)

    def ahead(self, allowed: ActiveGrammar) -> Iterator[None]:
        """Work out what can be before anybody speaks; after each little piece a pause."""
        if not self.judge:
            return
        phrases: dict[str, None] = {}
        for phrase in allowed.short:
            phrases |= dict.fromkeys([phrase, *competitors_of(phrase, allowed).all])
            yield
        yield from self.judge.ahead(allowed, phrases)
        if self.companion:
            yield from self.companion.ahead(phrases)

    def best_effort_words(self, sound: Sound) -> str:
        """The words of a note, as well as the engines can write them; "" where none of them can.

        Never an answer.
        """
        for engine in (self.judge, self.proposer):
            write = getattr(engine, "words", None)
            if write is not None:
                return str(write(sound))
        return ""
