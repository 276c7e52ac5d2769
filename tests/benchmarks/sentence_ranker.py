"""Nearest meanings by sentence embeddings, for comparison with words and character n-grams:
all-MiniLM-L6-v2, computed in numpy from its weights (model.safetensors, tokenizer.json in one
folder).

Wang and others, 2020, "MiniLM"; mean of the last layer, as its makers use it (from memory).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
from tokenizers import Tokenizer

from doorround.understanding.ranking import Ranker, meanings_of

Array = npt.NDArray[np.float32]
HEADS = 12
WIDTH = 384


class SentenceRanker:
    """Ranks by the cosine of sentence embeddings; of each meaning its nearest example counts."""

    def __init__(self, folder: Path) -> None:
        self._tokens = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._tokens.no_padding()
        self._weights = _read(folder / "model.safetensors")
        self._examples = lru_cache(maxsize=64)(self._embedded)
        self._vector = lru_cache(maxsize=None)(self.embed)  # most phrases are of many parts

    def rank(self, key: str, text: str) -> list[tuple[str, float]]:
        names, matrix = self._examples(key)
        best: dict[str, float] = {}
        for name, nearness in zip(names, matrix @ self.embed(text), strict=True):
            best[name] = max(best.get(name, 0.0), float(nearness))
        return sorted(best.items(), key=lambda each: -each[1])

    def _embedded(self, key: str) -> tuple[tuple[str, ...], Array]:
        examples = meanings_of(key)
        return tuple(name for name, _ in examples), np.stack(
            [self._vector(each) for _, each in examples]
        )

    def embed(self, text: str) -> Array:
        """A text as a vector of length one."""
        w = self._weights
        ids = self._tokens.encode(text).ids
        state = w["embeddings.word_embeddings.weight"][ids]
        state = state + w["embeddings.position_embeddings.weight"][: len(ids)]
        state = _norm(
            state + w["embeddings.token_type_embeddings.weight"][0], w, "embeddings.LayerNorm"
        )
        for layer in range(6):
            state = self._layer(state, f"encoder.layer.{layer}.")
        mean: Array = state.mean(axis=0)
        return mean / np.linalg.norm(mean)

    def _layer(self, state: Array, name: str) -> Array:
        w = self._weights
        parts = [
            _linear(state, w, f"{name}attention.self.{each}") for each in ("query", "key", "value")
        ]
        query, key, value = (each.reshape(len(state), HEADS, -1).swapaxes(0, 1) for each in parts)
        scores = query @ key.swapaxes(1, 2) / np.sqrt(WIDTH // HEADS)
        scores = np.exp(scores - scores.max(axis=-1, keepdims=True))
        mixed = (scores / scores.sum(axis=-1, keepdims=True)) @ value
        mixed = mixed.swapaxes(0, 1).reshape(len(state), WIDTH)
        attended = _linear(mixed, w, f"{name}attention.output.dense") + state
        attended = _norm(attended, w, f"{name}attention.output.LayerNorm")
        wide = _gelu(_linear(attended, w, f"{name}intermediate.dense"))
        return _norm(
            _linear(wide, w, f"{name}output.dense") + attended, w, f"{name}output.LayerNorm"
        )


def _linear(state: Array, weights: dict[str, Array], name: str) -> Array:
    return state @ weights[f"{name}.weight"].T + weights[f"{name}.bias"]


def _norm(state: Array, weights: dict[str, Array], name: str) -> Array:
    middle = state - state.mean(axis=-1, keepdims=True)
    scaled = middle / np.sqrt((middle**2).mean(axis=-1, keepdims=True) + 1e-12)
    return scaled * weights[f"{name}.weight"] + weights[f"{name}.bias"]


def _gelu(x: Array) -> Array:
    """By the tanh that is near enough to the exact one."""
    return 0.5 * x * (1 + np.tanh(0.7978845608 * (x + 0.044715 * x**3)))


def _read(path: Path) -> dict[str, Array]:
    """The tensors of a safetensors file: a length, a JSON header, the numbers."""
    raw = path.read_bytes()
    (length,) = struct.unpack("<Q", raw[:8])
    header = json.loads(raw[8 : 8 + length])
    found = {}
    for name, each in header.items():
        if name != "__metadata__" and each["dtype"] == "F32":
            start, end = (8 + length + at for at in each["data_offsets"])
            found[name] = np.frombuffer(raw[start:end], np.float32).reshape(each["shape"])
    return found


class MeanRanker:
    """Several rankers as one, by the mean of their nearnesses."""

    def __init__(self, rankers: Sequence[Ranker]) -> None:
        self._rankers = tuple(rankers)

    def rank(self, key: str, text: str) -> list[tuple[str, float]]:
        total: dict[str, float] = {}
        for ranker in self._rankers:
            for meaning, nearness in ranker.rank(key, text):
                total[meaning] = total.get(meaning, 0.0) + nearness / len(self._rankers)
        return sorted(total.items(), key=lambda each: -each[1])
