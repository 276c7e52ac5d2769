"""The second listener: Moonshine, a different network trained on other data, scores the first one's
hypotheses.

Independently trained networks rarely make the same mistake. It gets few phrases, so it is cheap: 2
s of speech take it some 25 ms, nine phrases some 15 ms more.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.noise import faint
from doorround.hearing.audio.sound import RATE, Sound
from doorround.hearing.engines.moonshine_files import BYTES, numbered, pieces, session
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.model_files.weights import SECOND_FILES, check_second

PAD_SECONDS = 0.2
"""Silence before and after the speech, so that no sound touches the edge."""

PRIOR_SHARE = 0.6
"""Share of a phrase's score on faint noise that is subtracted: its internal
language-model prior.
"""

MAX_KEPT = 20_000
"""Number of phrases with a cached prior, a number each."""

_START = 1
_STOP = 2
_MARKS = (b".", b",", b"!", b"?")
# Attention heads per layer, and numbers per head: 288 a layer.
_HEADS = 8
_WIDTH = 36

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class Fit:
    """Score of a phrase. total: nats, after prior correction. surprise: nats per token by which
    Moonshine preferred another continuation.
    """

    total: float
    surprise: float


@dataclass(frozen=True)
class Transcript:
    """Moonshine's unconstrained transcription and its score in nats."""

    text: str
    total: float


@dataclass(frozen=True, eq=False)
class MoonshineEncoded:
    """An encoded recording. states: shape (1, times, states). past: each layer's key-value cache
    for it and for the common prefix of all phrases. first: logits of the first token, shape
    (tokens,).
    """

    states: Floats
    past: Mapping[str, Floats]
    first: Floats


class MoonshineEngine:
    """Moonshine through ONNX Runtime. One model; thread-safe."""

    name = "moonshine"

    def __init__(self, folder: Path) -> None:
        """Load the weights in `folder` after verifying them. Raises EngineUnavailable."""
        self.version = check_second(folder)[:16]
        encoder, decoder, tokens = (folder / name for name in SECOND_FILES)
        self._encoder = session(encoder)
        self._decoder = session(decoder)
        self._past = [
            each.name
            for each in self._decoder.get_inputs()
            if each.name.startswith("past_key_values")
        ]
        self._pieces = numbered(pieces(tokens.read_bytes()))
        self._letters = {number: piece for piece, number in self._pieces.items()}
        self._marks = [self._pieces[mark] for mark in _MARKS]
        self._spelled: LruCache[str, tuple[int, ...]] = LruCache(MAX_KEPT)
        self._priors: LruCache[str, float] = LruCache(MAX_KEPT)
        self._lock = threading.Lock()
        self._beside = ThreadPoolExecutor(1)
        self._noise = self._encoded(faint())

    def encode(self, speech: Sound) -> MoonshineEncoded:
        """Encode a recording already trimmed to its speech."""
        return self._encoded(np.pad(speech.samples, round(PAD_SECONDS * RATE)))

    def fits(self, heard: MoonshineEncoded, phrases: Iterable[str]) -> dict[str, Fit]:
        """Scores of these phrases."""
        wanted = list(dict.fromkeys(phrases))
        if not wanted:
            return {}
        with self._lock:
            spelled = {
                phrase: self._spelled.get(phrase, partial(self._spell, phrase)) for phrase in wanted
            }
            # in another thread, since each new phrase takes 7 ms
            learning = self._beside.submit(self._priors_of, spelled)
            sums = self._sums(heard, list(spelled.values()))
            priors = learning.result()
        return {
            phrase: Fit(total - PRIOR_SHARE * priors[phrase], surprise / (len(spelled[phrase]) + 1))
            for phrase, (total, surprise) in zip(wanted, sums, strict=True)
        }

    def fit(self, heard: MoonshineEncoded, phrase: str) -> float:
        """Uncorrected score of one phrase, for comparison with the unconstrained transcription:
        nats.
        """
        with self._lock:
            return self._sums(heard, [self._spell(phrase)])[0][0]

    def ends(self, heard: MoonshineEncoded, phrase: str) -> float:
        """Log probability that Moonshine ends after the phrase, with any punctuation, rather than
        continues: nats, at most 0.
        """
        tokens = self._spell(phrase)[:-1]
        rows = np.array([[*tokens, mark] for mark in self._marks])
        with self._lock:
            (after,) = self._decoded(["logits"], heard.states, rows, heard.past)
        before = _logs(after[0, -2]) if tokens else _logs(heard.first)
        by_mark = [
            before[mark] + _logs(weights[-1])[_STOP]
            for mark, weights in zip(self._marks, after, strict=True)
        ]
        return float(np.logaddexp.reduce([before[_STOP], *by_mark]))

    def transcribe(self, heard: MoonshineEncoded, most: int) -> Transcript:
        """Greedy unconstrained transcription, up to that many tokens."""
        past = dict(heard.past)
        chances = _logs(heard.first)
        tokens = list[int]()
        total = 0.0
        made = [name.replace("past_key_values", "present") for name in self._past]
        with self._lock:
            while True:
                token = int(chances.argmax())
                total += float(chances[token])
                if token == _STOP or len(tokens) == most:
                    return Transcript(self._text(tokens), total)
                tokens.append(token)
                weights, *now = self._decoded(
                    ["logits", *made], heard.states, np.array([[token]]), past
                )
                # the recording's part of the cache comes back empty: it is unchanged
                past |= {
                    name: each
                    for name, each in zip(self._past, now, strict=True)
                    if ".decoder." in name
                }
                chances = _logs(weights[0, -1])

    def _text(self, tokens: Sequence[int]) -> str:
        letters = (
            bytes([token - BYTES.start]) if token in BYTES else self._letters[token]
            for token in tokens
        )
        return b"".join(letters).decode("utf-8", "replace").replace("\u2581", " ").strip()

    def precompute(self, phrases: Iterable[str]) -> Iterator[None]:
        """Precompute the priors of some phrases; yields after each."""
        for phrase in phrases:
            if phrase not in self._priors:
                with self._lock:
                    self._priors_of(
                        {phrase: self._spelled.get(phrase, partial(self._spell, phrase))}
                    )
                yield

    def _priors_of(self, spelled: Mapping[str, tuple[int, ...]]) -> dict[str, float]:
        return {
            phrase: self._priors.get(phrase, partial(self._prior, tokens))
            for phrase, tokens in spelled.items()
        }

    def _prior(self, spelled: tuple[int, ...]) -> float:
        """One at a time: quantisation scales with the largest value of a batch, so that scores
        depend slightly on the others.
        """
        return self._sums(self._noise, [spelled])[0][0]

    def _encoded(self, samples: NDArray[np.float32]) -> MoonshineEncoded:
        sound = samples[None].astype(np.float32)
        mask = np.ones(sound.shape, dtype=np.int64)
        states = np.asarray(
            self._encoder.run(None, {"input_values": sound, "attention_mask": mask})[0]
        )
        nothing = {
            name: np.zeros(
                (1, _HEADS, 0 if ".decoder." in name else states.shape[1], _WIDTH), dtype=np.float32
            )
            for name in self._past
        }
        made = [name.replace("past_key_values", "present") for name in self._past]
        weights, *past = self._decoded(["logits", *made], states, np.array([[_START]]), nothing)
        return MoonshineEncoded(states, dict(zip(self._past, past, strict=True)), weights[0, 0])

    def _decoded(
        self,
        wanted: Sequence[str],
        states: Floats,
        tokens: NDArray[np.int64],
        past: Mapping[str, Floats],
    ) -> list[Floats]:
        """Run the decoder for rows of tokens after the cached past, of one recording for
        all rows.
        """
        rows = len(tokens)
        begun = any(values.shape[2] for name, values in past.items() if ".decoder." in name)
        said = {
            "input_ids": tokens,
            "encoder_hidden_states": np.repeat(states, rows, axis=0),
            # all times: the model downsamples the mask by 384, as if it were samples, and a longer
            # one, downsampled to two from 9.2 s on, would fit no recording
            "encoder_attention_mask": np.ones((rows, 1), dtype=np.int64),
            "use_cache_branch": np.array([begun]),
        }
        return list(
            self._decoder.run(
                list(wanted), said | {name: np.repeat(past[name], rows, axis=0) for name in past}
            )
        )

    def _sums(
        self, heard: MoonshineEncoded, spelled: Sequence[tuple[int, ...]]
    ) -> list[tuple[float, float]]:
        """For each phrase, including its end: log probabilities of its tokens, and the surprise in
        nats.
        """
        count = len(spelled)
        most = max(map(len, spelled))
        tokens = np.full((count, most + 1), _STOP, dtype=np.int64)
        for row, phrase in enumerate(spelled):
            tokens[row, : len(phrase)] = phrase
        (after,) = self._decoded(["logits"], heard.states, tokens[:, :-1], heard.past)
        totals = np.zeros(count)
        surprises = np.zeros(count)
        for weights, nexts in ((heard.first[None, None], tokens[:, :1]), (after, tokens[:, 1:])):
            best = weights.max(axis=2)
            together = best + np.log(np.exp(weights - best[:, :, None]).sum(axis=2))
            chosen = np.take_along_axis(weights, nexts[:, :, None], axis=2)[:, :, 0]
            # shorter phrases are padded with end tokens
            within = np.cumsum(nexts == _STOP, axis=1) <= 1
            totals += np.where(within, chosen - together, 0.0).sum(axis=1)
            surprises += np.where(within, best - chosen, 0.0).sum(axis=1)
        return list(zip(totals.tolist(), surprises.tolist(), strict=True))

    def _spell(self, phrase: str) -> tuple[int, ...]:
        """Moonshine's tokens for a phrase as a sentence: byte pairs merged, most frequent first."""
        sentence = f"\u2581{phrase[:1].upper()}{phrase[1:]}.".replace(" ", "\u2581")
        parts = [letter.encode() for letter in sentence]
        while True:
            pairs = [
                (self._pieces[one + two], place)
                for place, (one, two) in enumerate(pairwise(parts))
                if one + two in self._pieces
            ]
            if not pairs:
                return tuple(number for part in parts for number in self._numbers(part))
            _, place = min(pairs)
            parts[place : place + 2] = [parts[place] + parts[place + 1]]

    def _numbers(self, part: bytes) -> list[int]:
        return (
            [self._pieces[part]] if part in self._pieces else [BYTES.start + byte for byte in part]
        )


def _logs(weights: Floats) -> Floats:
    """Log softmax over tokens."""
    most = weights.max()
    return np.asarray(weights - (most + np.log(np.exp(weights - most).sum())), dtype=np.float32)
