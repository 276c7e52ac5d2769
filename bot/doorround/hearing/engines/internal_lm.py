"""Whisper's internal language-model prior, which its scores are corrected by."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.engines.prefix_cache import PrefixCache, Tokens
from doorround.hearing.engines.whisper_decoder import Floats, SoundKeys, WhisperDecoder
from doorround.hearing.lru_cache import LruCache

MAX_KEPT = 20_000
"""Number of cached prefixes, one kilobyte each: those of some ten questions."""


class InternalLmPrior:
    """Internal language-model prior, independent of the audio: how each prefix continues after
    faint noise.
    """

    def __init__(self, decoder: WhisperDecoder, noise: SoundKeys, start: Sequence[int]) -> None:
        self._decoder = decoder
        self._noise = PrefixCache(decoder, noise, start)
        self._kept: LruCache[Tokens, tuple[NDArray[np.float16], float]] = LruCache(MAX_KEPT)
        self._beside = ThreadPoolExecutor(1)

    def begin(self) -> None:
        """New recording: discards decoder states from the last one."""
        self._noise.forget()

    def known(self, beginnings: Sequence[Tokens]) -> bool:
        """Whether the priors of these are all cached."""
        return all(tokens in self._kept for tokens in beginnings)

    def submit(self, beginnings: Sequence[Tokens]) -> Callable[[], tuple[Floats, Floats]]:
        """Like of(), with missing priors computed in another thread, so that the caller need not
        wait if a core is free.
        """
        if self.known(beginnings):
            return partial(self.of, beginnings)
        return self._beside.submit(self.of, beginnings).result

    def of(self, beginnings: Sequence[Tokens]) -> tuple[Floats, Floats]:
        """For prefixes of one length: decoder states, shape (prefixes, states), and the log
        normaliser over all tokens, shape (prefixes,).
        """
        missing = [tokens for tokens in dict.fromkeys(beginnings) if tokens not in self._kept]
        learnt = dict(zip(missing, self._learn(missing), strict=True)) if missing else {}
        # read before inserting new ones, which may evict old ones
        found = [
            learnt[tokens] if tokens in learnt else self._kept.get(tokens, _never)
            for tokens in beginnings
        ]
        for tokens, prior in learnt.items():
            self._kept.put(tokens, prior)
        finals = np.array([final for final, _ in found], dtype=np.float32)
        return finals, np.array([weight for _, weight in found], dtype=np.float32)

    def _learn(self, missing: Sequence[Tokens]) -> list[tuple[NDArray[np.float16], float]]:
        here = self._noise.of(missing)
        weights, _ = self._decoder.logs(here)
        return [
            (final.astype(np.float16), weight)
            for final, weight in zip(here.final, weights.tolist(), strict=True)
        ]


def _never() -> tuple[NDArray[np.float16], float]:
    raise KeyError("a beginning that was not learnt")
