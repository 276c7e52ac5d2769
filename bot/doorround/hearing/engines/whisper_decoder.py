"""Whisper's decoder, one token at a time for many prefixes at once, so that the listener can search
a whole grammar.

The library that runs the encoder transcribes freely or scores finished texts; neither can search
ten thousand allowed phrases with shared prefixes. Here each prefix is computed once, and all of
them share the encoded sound. Architecture: Radford et al. 2022, "Robust Speech Recognition via
Large-Scale Weak Supervision".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

from doorround.hearing.engines.weight_file import read_weights

Floats = NDArray[np.float32]

COMMON = 8192
"""Number of tokens in the softmax, to save time: a byte-pair encoding numbers the most frequent
first. Over all 51,864 a phrase loses some tenths of a nat more: the test against the library bounds
it.
"""


@dataclass(frozen=True)
class _Layer:
    """Weights of one layer, transposed so that the step is rows times weight. pairs: (weight,
    bias).
    """

    norms: tuple[tuple[Floats, Floats], ...]
    mixed: tuple[Floats, Floats]
    out: tuple[Floats, Floats]
    ask: tuple[Floats, Floats]
    sound: tuple[Floats, Floats]
    heard: tuple[Floats, Floats]
    wide: tuple[Floats, Floats]
    narrow: tuple[Floats, Floats]


@dataclass(frozen=True, eq=False)
class SoundKeys:
    """Each layer's cross-attention cache of a sound: (keys, values), shapes (heads, width, times)
    and (heads, times, width).
    """

    layers: tuple[tuple[Floats, Floats], ...]


@dataclass(frozen=True, eq=False)
class Prefixes:
    """States of some prefixes, all of the same length: each layer's self-attention cache, and the
    final layer.

    past: keys and values per layer, shape (prefixes, heads, tokens, width). final: shape (prefixes,
    states).
    """

    past: tuple[tuple[Floats, Floats], ...]
    final: Floats
    length: int

    def __len__(self) -> int:
        return len(self.final)

    def of(self, rows: Sequence[int] | NDArray[np.int64]) -> Prefixes:
        """Select prefixes in this order; duplicates allowed."""
        wanted = np.asarray(rows, dtype=np.int64)
        past = tuple((keys[wanted], values[wanted]) for keys, values in self.past)
        return Prefixes(past, self.final[wanted], self.length)

    def joined(self, others: Prefixes) -> Prefixes:
        """Concatenated with others of the same length."""
        past = tuple(
            (np.concatenate([keys, more[0]]), np.concatenate([values, more[1]]))
            for (keys, values), more in zip(self.past, others.past, strict=True)
        )
        return Prefixes(past, np.concatenate([self.final, others.final]), self.length)


class WhisperDecoder:
    """The decoder of one Whisper model, with CTranslate2 weights.

    Stateless across recordings.
    """

    def __init__(self, model: Path) -> None:
        """Read the weights of `model` (model.bin).

        Raises ValueError for another layout.
        """
        # The matrices are small: a second numpy thread gains nothing, spins while waiting, and
        # takes a core from other recognitions.
        threadpool_limits(1, user_api="blas")
        weights = read_weights(model, "decoder/")
        self._words = weights["decoder/embeddings/weight"]
        self._places = weights["decoder/position_encodings/encodings"]
        self._norm = _pair(weights, "decoder/layer_norm", "gamma", "beta")
        count = 1 + max(
            int(name.split("/")[1].removeprefix("layer_"))
            for name in weights
            if "/layer_" in name and name.split("/")[1] != "layer_norm"
        )
        self._layers = tuple(_layer(weights, f"decoder/layer_{index}") for index in range(count))
        self._heads = int(weights["decoder/num_heads"])
        self._common = np.ascontiguousarray(self._words[:COMMON].T)

    def attend(self, states: Floats) -> SoundKeys:
        """Prepare a sound. states: the encoder's output, shape (times, states)."""
        ready = []
        for layer in self._layers:
            both = states @ layer.sound[0] + layer.sound[1]
            keys, values = np.split(both, 2, axis=1)
            shape = (len(states), self._heads, -1)
            ready.append(
                (
                    np.ascontiguousarray(keys.reshape(shape).transpose(1, 2, 0)),
                    np.ascontiguousarray(values.reshape(shape).transpose(1, 0, 2)),
                )
            )
        return SoundKeys(tuple(ready))

    def start(self, sound: SoundKeys, tokens: Sequence[int]) -> Prefixes:
        """The prefix common to all phrases: Whisper's prompt tokens, in one batch, since a step
        takes as long for two rows as for one.
        """
        rows = self._words[np.asarray(tokens)] + self._places[: len(tokens)]
        past = []
        for layer, heard in zip(self._layers, sound.layers, strict=True):
            added, keys, values = self._looking_back_at_once(layer, rows)
            past.append((keys, values))
            rows = rows + added
            rows = rows + self._listening(layer, rows, heard)
            rows = rows + _thinking(layer, rows)
        return Prefixes(tuple(past), _normed(rows[-1:], self._norm), len(tokens))

    def step(self, sound: SoundKeys, here: Prefixes, tokens: Sequence[int]) -> Prefixes:
        """Each prefix extended by one token."""
        rows = self._words[np.asarray(tokens)] + self._places[here.length]
        past = []
        for layer, before, heard in zip(self._layers, here.past, sound.layers, strict=True):
            added, keys, values = self._looking_back(layer, rows, before)
            past.append((keys, values))
            rows = rows + added
            rows = rows + self._listening(layer, rows, heard)
            rows = rows + _thinking(layer, rows)
        return Prefixes(tuple(past), _normed(rows, self._norm), here.length + 1)

    def logs(self, here: Prefixes) -> tuple[Floats, Floats]:
        """Log normaliser over the common tokens, shape (prefixes,); and the logit of each, shape
        (prefixes, COMMON).
        """
        each = here.final @ self._common
        most = each.max(axis=1)
        return most + np.log(np.exp(each - most[:, None]).sum(axis=1)), each

    def weigh(self, finals: Floats, rows: Sequence[int], tokens: Sequence[int]) -> Floats:
        """Logit of one token after one prefix, for each pair of row of `finals` and token."""
        weights: Floats = np.einsum(
            "ij,ij->i", finals[np.asarray(rows)], self._words[np.asarray(tokens)]
        )
        return weights

    def with_itself(self, together: Floats, weights: Floats, tokens: Sequence[int]) -> Floats:
        """Log normaliser over the common tokens plus each of these tokens, which may be a
        rare one.
        """
        rare = np.asarray(tokens) >= COMMON
        return np.where(rare, np.logaddexp(together, weights), together)

    def _looking_back(
        self, layer: _Layer, rows: Floats, before: tuple[Floats, Floats]
    ) -> tuple[Floats, Floats, Floats]:
        all_three = _normed(rows, layer.norms[0]) @ layer.mixed[0] + layer.mixed[1]
        asked, key, value = (
            part.reshape(len(rows), self._heads, 1, -1) for part in np.split(all_three, 3, axis=1)
        )
        keys = np.concatenate([before[0], key], axis=2)
        values = np.concatenate([before[1], value], axis=2)
        scale = np.float32(asked.shape[-1] ** -0.5)
        shares = _shares((asked * scale) @ keys.transpose(0, 1, 3, 2))
        joined = (shares @ values).reshape(len(rows), -1)
        return joined @ layer.out[0] + layer.out[1], keys, values

    def _looking_back_at_once(self, layer: _Layer, rows: Floats) -> tuple[Floats, Floats, Floats]:
        """Consecutive rows of one prefix, with causal self-attention."""
        all_three = _normed(rows, layer.norms[0]) @ layer.mixed[0] + layer.mixed[1]
        asked, keys, values = (
            part.reshape(len(rows), self._heads, -1).transpose(1, 0, 2)
            for part in np.split(all_three, 3, axis=1)
        )
        weights = (asked * np.float32(asked.shape[-1] ** -0.5)) @ keys.transpose(0, 2, 1)
        weights[:, np.triu(np.ones((len(rows), len(rows)), dtype=bool), 1)] = -np.inf
        joined = (_shares(weights) @ values).transpose(1, 0, 2).reshape(len(rows), -1)
        return joined @ layer.out[0] + layer.out[1], keys[None], values[None]

    def _listening(self, layer: _Layer, rows: Floats, heard: tuple[Floats, Floats]) -> Floats:
        keys, values = heard
        asked = (_normed(rows, layer.norms[1]) @ layer.ask[0] + layer.ask[1]).reshape(
            len(rows), self._heads, -1
        )
        scale = np.float32(asked.shape[-1] ** -0.5)
        shares = _shares((asked * scale).transpose(1, 0, 2) @ keys)
        joined = (shares @ values).transpose(1, 0, 2).reshape(len(rows), -1)
        return np.asarray(joined @ layer.heard[0] + layer.heard[1], dtype=np.float32)


def _thinking(layer: _Layer, rows: Floats) -> Floats:
    wide = _normed(rows, layer.norms[2]) @ layer.wide[0] + layer.wide[1]
    return _gelu(wide) @ layer.narrow[0] + layer.narrow[1]


def _gelu(values: Floats) -> Floats:
    """x Φ(x) by its usual approximation (Hendrycks and Gimpel 2016): numpy has no erf."""
    inner = np.float32(0.7978845608) * (values + np.float32(0.044715) * values * values * values)
    return np.asarray(np.float32(0.5) * values * (1 + np.tanh(inner)), dtype=np.float32)


def _shares(weights: NDArray[np.floating[Any]]) -> Floats:
    raised = np.exp(weights - weights.max(axis=-1, keepdims=True))
    shares: Floats = raised / raised.sum(axis=-1, keepdims=True)
    return shares


def _normed(rows: Floats, norm: tuple[Floats, Floats]) -> Floats:
    centred = rows - rows.mean(axis=1, keepdims=True)
    spread = np.sqrt(np.einsum("ij,ij->i", centred, centred) / rows.shape[1] + np.float32(1e-5))
    return np.asarray(centred / spread[:, None] * norm[0] + norm[1], dtype=np.float32)


def _pair(weights: dict[str, Floats], name: str, first: str, second: str) -> tuple[Floats, Floats]:
    return weights[f"{name}/{first}"], weights[f"{name}/{second}"]


def _layer(weights: dict[str, Floats], name: str) -> _Layer:
    def linear(part: str) -> tuple[Floats, Floats]:
        weight, bias = _pair(weights, f"{name}/{part}", "weight", "bias")
        return np.ascontiguousarray(weight.T), bias

    norms = tuple(
        _pair(weights, f"{name}/{part}/layer_norm", "gamma", "beta")
        for part in ("self_attention", "attention", "ffn")
    )
    return _Layer(
        norms,
        linear("self_attention/linear_0"),
        linear("self_attention/linear_1"),
        linear("attention/linear_0"),
        linear("attention/linear_1"),
        linear("attention/linear_2"),
        linear("ffn/linear_0"),
        linear("ffn/linear_1"),
    )
