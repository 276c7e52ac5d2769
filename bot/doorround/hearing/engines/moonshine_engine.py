"""The second listener: Moonshine, another network trained on other speech, scores the phrases that
the first found.

Two networks that were trained apart seldom go wrong alike. It is given few phrases, so it costs
little: 2 s of speech take it some 25 ms, nine phrases some 15 ms more.
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
"""How much of a phrase's score on faint noise is taken off: what it would rather write whatever it
hears.
"""

MAX_KEPT = 20_000
"""Phrases whose prior is kept, a number each."""

_START = 1
_STOP = 2
_MARKS = (b".", b",", b"!", b"?")
# Heads of the attention of each layer, and numbers of each head: 288 a layer.
_HEADS = 8
_WIDTH = 36

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class Fit:
    """How well a phrase fits. total: nats, after the prior correction. surprise: nats a token by
    which Moonshine would have gone on otherwise, had it been free to.
    """

    total: float
    surprise: float


@dataclass(frozen=True)
class Transcript:
    """What Moonshine writes of its own accord, and how well that fits: nats."""

    text: str
    total: float


@dataclass(frozen=True, eq=False)
class MoonshineEncoded:
    """A recording as the model sees it. states: shape (1, times, states). past: what each layer
    keeps of it and of the beginning of every phrase. first: weights of the token that a phrase may
    begin with, shape (tokens,).
    """

    states: Floats
    past: Mapping[str, Floats]
    first: Floats


class MoonshineEngine:
    """Moonshine through ONNX Runtime. One model; safe for several threads."""

    name = "moonshine"

    def __init__(self, folder: Path) -> None:
        """Load the weights in `folder` after checking them. Raises EngineUnavailable."""
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
        """A recording that is cut to its speech, as the model sees it."""
        return self._encoded(np.pad(speech.samples, round(PAD_SECONDS * RATE)))

    def fits(self, heard: MoonshineEncoded, phrases: Iterable[str]) -> dict[str, Fit]:
        """How well each of these phrases fits."""
        wanted = list(dict.fromkeys(phrases))
        if not wanted:
            return {}
        with self._lock:
            spelled = {
                phrase: self._spelled.get(phrase, partial(self._spell, phrase)) for phrase in wanted
            }
            # beside what was heard, since each phrase takes 7 ms the first time
            learning = self._beside.submit(self._priors_of, spelled)
            sums = self._sums(heard, list(spelled.values()))
            priors = learning.result()
        return {
            phrase: Fit(total - PRIOR_SHARE * priors[phrase], surprise / (len(spelled[phrase]) + 1))
            for phrase, (total, surprise) in zip(wanted, sums, strict=True)
        }

    def fit(self, heard: MoonshineEncoded, phrase: str) -> float:
        """How well one phrase fits, as the model has it, to compare with what it writes itself:
        nats.
        """
        with self._lock:
            return self._sums(heard, [self._spell(phrase)])[0][0]

    def ends(self, heard: MoonshineEncoded, phrase: str) -> float:
        """How likely Moonshine is to end after the phrase, with whatever mark, rather than go on:
        nats, at most 0.
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
        """What Moonshine would write of its own accord, the likeliest token each time, up to so
        many.
        """
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
                # what it keeps of the recording comes back empty: it has not changed
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
        """Learn what Moonshine would rather write in place of some phrases; after each a pause."""
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
        """Alone: the model rounds to the largest value of a batch, so that its scores hang a little
        on the others.
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
        """What the decoder makes of rows of tokens behind what is past, of one recording for all
        rows.
        """
        rows = len(tokens)
        begun = any(values.shape[2] for name, values in past.items() if ".decoder." in name)
        said = {
            "input_ids": tokens,
            "encoder_hidden_states": np.repeat(states, rows, axis=0),
            # for all times: the model thins it out by 384, as one of samples, and a longer one,
            # thinned to two from 9.2 s on, would fit no recording
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
        """Of each phrase, with its end: its tokens' logarithms, and the nats by which others would
        have fitted.
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
            # behind its end a phrase that is shorter than others is filled up with more ends
            within = np.cumsum(nexts == _STOP, axis=1) <= 1
            totals += np.where(within, chosen - together, 0.0).sum(axis=1)
            surprises += np.where(within, best - chosen, 0.0).sum(axis=1)
        return list(zip(totals.tolist(), surprises.tolist(), strict=True))

    def _spell(self, phrase: str) -> tuple[int, ...]:
        """The tokens of a phrase as Moonshine writes a sentence: byte pairs joined, the most usual
        first.
        """
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
    """Weights of tokens as logarithms of their chances."""
    most = weights.max()
    return np.asarray(weights - (most + np.log(np.exp(weights - most).sum())), dtype=np.float32)
