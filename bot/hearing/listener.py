"""The closed-set listener: Whisper scores just the phrases that may be said now, and writes nothing of its own.

Whisper left to write freely makes up words on short clips. Asked how well each allowed phrase fits the recording it is
the best judge that was measured, above all at telling what is no answer at all.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bot.hearing.activity import around_speech
from bot.hearing.audio import RATE, Samples, Sound
from bot.hearing.decoder import Decoder
from bot.hearing.follow import Follower
from bot.hearing.kept import Kept
from bot.hearing.mel import BANDS, log_mel
from bot.hearing.phrases import automaton_of
from bot.hearing.recogniser import Allowed, EngineUnavailable, Guess
from bot.hearing.token_paths import TokenPaths
from bot.hearing.weights import check_weights

PAD_SECONDS = 0.2
"""Silence before and after the clip, so that no sound touches the edge of the window."""

EXTRA_FRAMES = 40
"""Silent frames after that. Padding to the 30 s Whisper was trained on gains 1.5 points and costs thirty times more."""

PRIOR_SHARE = 0.7
"""How much of a phrase's score on faint noise is taken off: what Whisper would rather write whatever it hears.

Tuning half, ten words: 95.5 % right with 0, 96.9 with 0.7, 96.3 with 1; digits 96, 98, 98.
"""

NOISE_SECONDS, NOISE_LEVEL = 2.0, 1e-3
"""The faint noise: 2 s at 60 dB under full scale. 0.5 s at the same level: 96.3 % of ten words, and a "yes" lost."""

LONGEST_SECONDS = 25.0
"""Whisper's window holds 30 s. No answer is longer than this: it is cut at its pauses before, or not heard at all."""

FRAMES_A_SECOND = 100
"""Mel frames."""

MOST_GRAMMARS = 16
"""Grammars kept as paths of tokens. They are opened only where a recording leads."""

MOST_AT_ONCE = 24
"""Phrases scored in full, some 4 ms each; of more than these, those whose first tokens fit best."""

_LEAST = 1e-9


@dataclass(frozen=True)
class Score:
    """How well a phrase fits. total: nats after the prior correction, above 0 is a good fit. raw: nats a token."""

    phrase: str
    total: float
    raw: float
    tokens: int


@dataclass(eq=False)
class Encoded:
    """A recording as the model sees it. states: shape (1, frames / 2, width). frames: mel frames of the recording.

    firsts: nats of each token to be the first, once they were asked for.
    """

    states: NDArray[np.float32]
    frames: int
    firsts: NDArray[np.float32] | None = None


class Listener:
    """Whisper through CTranslate2. One model; safe for several threads, which take turns."""

    name = "listener"

    def __init__(self, folder: Path) -> None:
        """Load the weights in `folder` after checking them. Raises EngineUnavailable."""
        self.sha256 = check_weights(folder)
        import ctranslate2
        import tokenizers

        self._storage = ctranslate2.StorageView
        # int8: half the memory and 2.5 times the speed of float32, and no clip of the tuning half heard differently.
        self._model: Any = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=1
        )
        self._tokens = tokenizers.Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._start = self._start_tokens()
        self._silent = self._tokens.token_to_id("<|notimestamps|>")
        self._lock = threading.Lock()
        self._priors: Kept[str, float] = Kept(20_000)
        self._noise = self._encode(_faint_noise())
        self._first_prior = self._first_token_logs(self._noise)
        self._spelled: dict[tuple[str, bool], tuple[int, ...]] = {}
        self._paths: Kept[str, TokenPaths] = Kept(MOST_GRAMMARS)
        try:
            self._decoder = Decoder(folder / "model.bin")
        except (ValueError, KeyError) as error:
            raise EngineUnavailable(f"The listener cannot use these weights: {error}") from error
        starts = [*self._start, int(self._silent or 0)]
        stop = self._spell(".", False)[0]
        self._follower = Follower(self._decoder, self._noise.states[0], starts, stop, PRIOR_SHARE)

    def guesses(self, sound: Sound, allowed: Allowed) -> tuple[Guess, ...]:
        """The short list, best first, by how well each phrase fits; empty when the speech is too long for an answer.

        probability: each phrase's share against the others only. Whether it is an answer at all is for the Ear to say.
        """
        encoded = self.encode(sound)
        if encoded is None:
            return ()
        scores = self.scores(encoded, self.likeliest(encoded, allowed.short, MOST_AT_ONCE))
        shares = np.exp([score.total - scores[0].total for score in scores])
        return tuple(
            Guess(score.phrase, float(share / shares.sum()), {"total": score.total, "raw": score.raw})
            for score, share in zip(scores, shares, strict=True)
        )

    def encode(self, sound: Sound, probabilities: NDArray[np.float32] | None = None) -> Encoded | None:
        """The speech in the sound as the model sees it; None when it is longer than any answer."""
        sound = around_speech(sound, probabilities)
        if sound.seconds > LONGEST_SECONDS:
            return None
        with self._lock:
            return self._encode(sound.samples)

    def scores(self, encoded: Encoded, phrases: Iterable[str]) -> list[Score]:
        """Every phrase with its score, best first."""
        wanted = list(dict.fromkeys(phrases))
        if not wanted:
            return []
        with self._lock:
            self._learn_priors([phrase for phrase in wanted if phrase not in self._priors])
            sums = self._sums(encoded, wanted)
            found = [
                Score(phrase, total - PRIOR_SHARE * self._priors.get(phrase, float), total / count, count)
                for phrase, (total, count) in zip(wanted, sums, strict=True)
            ]
        return sorted(found, key=lambda score: -score.total)

    def follow(self, encoded: Encoded, allowed: Allowed) -> list[str]:
        """The phrases of the whole grammar that fit best, best first, found token by token; some 0.1 to 0.2 s."""
        with self._lock:
            key = allowed.key or allowed.jsgf
            paths = self._paths.get(key, lambda: TokenPaths(automaton_of(allowed), self._spell))
            sound = self._decoder.attend(encoded.states[0])
            ended = self._follower.follow(sound, paths, encoded.frames / FRAMES_A_SECOND)
        written = (str(self._tokens.decode(list(each.tokens[:-1]))) for each in ended)
        return list(dict.fromkeys(phrase.strip().lower() for phrase in written))

    def likeliest(self, encoded: Encoded, phrases: Sequence[str], most: int) -> list[str]:
        """The phrases to score in full: all if there are few, else those whose first token fits best; some 6 ms."""
        if len(phrases) <= most:
            return list(phrases)
        firsts = [self.tokens(phrase)[0] for phrase in phrases]
        with self._lock:
            if encoded.firsts is None:
                encoded.firsts = self._first_token_logs(encoded) - PRIOR_SHARE * self._first_prior
        logs = encoded.firsts
        ranked = sorted(zip(phrases, firsts, strict=True), key=lambda pair: -logs[pair[1]])
        return [phrase for phrase, _ in ranked[:most]]

    def words(self, sound: Sound) -> str:
        """Whatever was said, as Whisper would write it: for notes only, never for an answer. Up to 30 s."""
        frames = log_mel(np.pad(sound.samples[: 30 * RATE], (0, max(0, 30 * RATE - len(sound.samples)))))
        with self._lock:
            written = self._model.generate(self._storage.from_array(frames[None]), [[*self._start, self._silent]])
        return str(self._tokens.decode(written[0].sequences_ids[0])).strip()

    def tokens(self, phrase: str) -> list[int]:
        """The tokens of " Phrase.", as Whisper writes a sentence; the full stop tells that nothing follows."""
        text = f" {phrase[:1].upper()}{phrase[1:]}."
        ids: list[int] = self._tokens.encode(text, add_special_tokens=False).ids
        return ids

    def _spell(self, word: str, first: bool) -> tuple[int, ...]:
        """The tokens of a word as Whisper writes it in a sentence: " Word" at the beginning, " word" after it."""
        if (word, first) not in self._spelled:
            text = word if word == "." else f" {word[:1].upper()}{word[1:]}" if first else f" {word}"
            self._spelled[word, first] = tuple(self._tokens.encode(text, add_special_tokens=False).ids)
        return self._spelled[word, first]

    def _start_tokens(self) -> list[int]:
        names = ["<|startoftranscript|>"]
        if self._model.is_multilingual:
            names += ["<|en|>", "<|transcribe|>"]
        return [int(self._tokens.token_to_id(name) or 0) for name in names]

    def _encode(self, samples: Samples) -> Encoded:
        pad = round(PAD_SECONDS * RATE)
        mel = log_mel(np.pad(samples, pad))
        frames = mel.shape[1]
        window = frames + EXTRA_FRAMES
        padded = np.zeros((1, BANDS, window + window % 2), dtype=np.float32)
        padded[0, :, :frames] = mel
        states = np.array(self._model.encode(self._storage.from_array(padded), to_cpu=True))
        return Encoded(states, frames)

    def _sums(self, encoded: Encoded, phrases: list[str]) -> list[tuple[float, int]]:
        """For each phrase the sum of the logarithms of its tokens' probabilities, and how many tokens."""
        states = self._storage.from_array(np.repeat(encoded.states, len(phrases), axis=0))
        tokens = [self.tokens(phrase) for phrase in phrases]
        aligned = self._model.align(states, self._start, tokens, encoded.frames)
        logs = [np.log(np.maximum(each.text_token_probs, _LEAST)) for each in aligned]
        return [(float(each.sum()), len(each)) for each in logs]

    def _learn_priors(self, phrases: list[str]) -> None:
        for start in range(0, len(phrases), MOST_AT_ONCE):
            some = phrases[start : start + MOST_AT_ONCE]
            for phrase, (total, _count) in zip(some, self._sums(self._noise, some), strict=True):
                self._priors.put(phrase, total)

    def _first_token_logs(self, encoded: Encoded) -> NDArray[np.float32]:
        """Logarithm of the probability of every token as the first one; shape (tokens,)."""
        result = self._model.generate(
            self._storage.from_array(encoded.states), [[*self._start, self._silent]], max_length=len(self._start) + 2,
            beam_size=1, return_logits_vocab=True, suppress_blank=False, suppress_tokens=None,
        )  # fmt: skip
        logits = np.array(result[0].logits[0], dtype=np.float32).reshape(-1)
        logs: NDArray[np.float32] = logits - np.float32(np.logaddexp.reduce(logits))
        return logs


def _faint_noise() -> Samples:
    noise = np.random.default_rng(0).standard_normal(round(NOISE_SECONDS * RATE))
    return (NOISE_LEVEL * noise).astype(np.float32)
