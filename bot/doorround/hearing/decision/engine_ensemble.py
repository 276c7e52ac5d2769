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
from doorround.hearing.engines.moonshine_engine import Fit, MoonshineEncoded, MoonshineEngine
from doorround.hearing.engines.recogniser import Recogniser
from doorround.hearing.engines.score import Encoded
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar


class EngineEnsemble:
    """One engine, or two or three behind one opinion. proposer: any engine; listener: the
    closed-set one or None; second: the second listener, beside the first only.
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
        # the second listener takes the sound in while the first does: a tenth of a turn, where a
        # core is free
        self._beside = ThreadPoolExecutor(1)

    def score_phrases(
        self,
        speech: DetectedSpeech,
        grammar: ActiveGrammar,
        calibration: Calibration,
        background: Backdrop | None = None,
    ) -> ScoredHypotheses:
        """The evidence for what was said, before it is decided on; no guesses where no engine
        hears any allowed phrase.

        background: what sounds behind the words, where the recording is a piece of a longer one.
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
        """What the listener makes of it, with the opinions of the engines beside it."""
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

    def precompute(self, grammar: ActiveGrammar) -> Iterator[None]:
        """Work out what can be before anybody speaks; after each little piece a pause."""
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
        """The words of a note, as well as the engines can write them; "" where none of them can.

        Never an answer.
        """
        for engine in (self.listener, self.proposer):
            write = getattr(engine, "words", None)
            if write is not None:
                return str(write(sound))
        return ""
