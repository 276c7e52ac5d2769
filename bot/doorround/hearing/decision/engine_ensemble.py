"""The engines of one set-up: collects their evidence about a recording."""

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
from doorround.hearing.engines.moonshine_engine import Fit, MoonshineEncoded, MoonshineEngine
from doorround.hearing.engines.recogniser import Recogniser
from doorround.hearing.engines.score import Encoded
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar


class EngineEnsemble:
    """One to three engines with a combined result. proposer: any engine; listener: the closed-set
    one or None; second: the second listener, only with the first.
    """

    def __init__(
        self,
        proposer: Recogniser | None,
        listener: WhisperEngine | None = None,
        second: MoonshineEngine | None = None,
    ) -> None:
        if listener is None and isinstance(proposer, WhisperEngine):
            proposer, listener = None, proposer
        if proposer is None and listener is None:
            raise ValueError("Recognition needs an engine.")
        self.proposer = proposer
        self.listener = listener
        self.second = second
        engines = [engine for engine in (proposer, listener, second) if engine]
        self.name = "+".join(engine.name for engine in engines)
        self.versions = {engine.name: engine.version for engine in engines}
        # the second listener encodes in parallel with the first; saves a tenth of a turn if a core
        # is free
        self._beside = ThreadPoolExecutor(1)

    def score_phrases(
        self,
        speech: DetectedSpeech,
        grammar: ActiveGrammar,
        calibration: Calibration,
        background: Backdrop | None = None,
    ) -> ScoredHypotheses:
        """Scored hypotheses, before the decision; no guesses if no engine finds an accepted phrase.

        background: the noise, if the recording is a segment of a longer one.
        """
        background = background or backdrop(speech)
        if self.listener is None:
            proposals = self.proposer.guesses(speech, grammar) if self.proposer else ()
            scored = ScoredHypotheses(proposals, proposals[0].evidence if proposals else {})
        else:
            second = self.second
            second_encoded = self._beside.submit(second.encode, speech.around) if second else None
            encoded = self.listener.encode(speech)
            scored = ScoredHypotheses(())
            if encoded:
                scored = self._scored_by_listener(
                    encoded, speech.around, grammar, second_encoded, calibration
                )
                taken = second_encoded.result() if second_encoded else None
                heard_by = Listeners(self.listener, encoded, second, taken)
                if scored.guesses:
                    scored = covered(
                        scored, grammar, heard_by, speech.around, speech.spoken, calibration
                    )
                write = partial(heard_by.written, speech.spoken)
                scored = replace(scored, write=write, rewrite=heard_by.rewritten)
        more = {
            "voice": float(speech.probabilities.max()),
            "depth": background.depth,
            "quiet": background.depth,
            "murmur": background.murmur,
        }
        return replace(scored, evidence={**scored.evidence, **more})

    def _scored_by_listener(
        self,
        encoded: Encoded,
        speech: Sound,
        grammar: ActiveGrammar,
        second_encoded: Future[MoonshineEncoded] | None,
        calibration: Calibration,
    ) -> ScoredHypotheses:
        """The listener's hypotheses, with the opinions of the other engines."""
        choose = partial(self.proposer.choose, speech) if self.proposer else None
        second = self.second
        assert self.listener

        def fits(phrases: Sequence[str]) -> Callable[[], Mapping[str, Fit]]:
            assert second and second_encoded
            return self._beside.submit(second.fits, second_encoded.result(), phrases).result

        shortlist = calibration.tuning.shortlist
        opinions = fits if second else None
        return rescore(self.listener, encoded, choose, grammar, opinions, shortlist)

    def knows(self, word: str) -> bool:
        """Whether a grammar may contain a word.

        The listener scores any word; an engine with a dictionary only those in it.
        """
        knows = getattr(self.proposer, "knows", None)
        return bool(knows(word)) if knows else True

    def learn(self, word: str, ways: Sequence[str]) -> None:
        """Add a word to an engine's dictionary. ways: pronunciations, as strings of CMU phones."""
        learn = getattr(self.proposer, "learn", None)
        if learn and not self.knows(word):
            learn(word, ways)

    def precompute(self, grammar: ActiveGrammar) -> Iterator[None]:
        """Precompute what does not depend on the speech. Yields after each small step."""
        if not self.listener:
            return
        phrases: dict[str, None] = {}
        for phrase in grammar.short:
            phrases |= dict.fromkeys([phrase, *competitors_of(phrase, grammar).all])
            yield
        yield from self.listener.precompute(grammar, phrases)
        if self.second:
            yield from self.second.precompute(phrases)

    def best_effort_words(self, sound: Sound) -> str:
        """Best-effort transcript of a note; "" if no engine can transcribe.

        Never use it as an answer.
        """
        for engine in (self.listener, self.proposer):
            write = getattr(engine, "words", None)
            if write is not None:
                return str(write(sound))
        return ""
