"""What Whisper writes of its own accord, through CTranslate2: for notes, and to be read beside what
the second listener writes. Never an answer.
"""

from __future__ import annotations

import threading
from typing import Any

import numpy as np

from doorround.hearing.audio.sound import RATE, Sound
from doorround.hearing.engines.log_mel import log_mel
from doorround.hearing.engines.score import Encoded

MAX_SECONDS = 30
"""Whisper's window."""

PROMPT = "<|startofprev|>"
"""The token behind which Whisper takes words for what was said just before."""


class WhisperTranscriber:
    """Writes with a model that somebody else loaded. Safe for several threads, which take turns."""

    def __init__(self, model: Any, tokens: Any, start: list[int], lock: threading.Lock) -> None:
        """start: tokens that tell Whisper what to do, up to the first it writes. lock: held while
        the model is at work.
        """
        import ctranslate2

        self._storage = ctranslate2.StorageView
        self._model, self._tokens, self._start, self._lock = model, tokens, start, lock

    def words(self, sound: Sound) -> str:
        """All that was said, up to 30 s."""
        most = MAX_SECONDS * RATE
        samples = np.pad(sound.samples[:most], (0, max(0, most - len(sound.samples))))
        return self._written(log_mel(samples)[None], self._start)

    def transcribe(self, encoded: Encoded, most: int, prompt: str = "") -> str:
        """What was said in a recording that is taken in already, in up to so many tokens. prompt:
        words that may be among it, which Whisper is then readier to write.
        """
        start = self._start
        if prompt:
            words = self._tokens.encode(f" {prompt}", add_special_tokens=False).ids
            start = [int(self._tokens.token_to_id(PROMPT)), *words, *start]
        # CTranslate2 writes up to half of its maximum, and no more than the start leaves of it
        longest = most + max(most, len(start))
        return self._written(encoded.states, start, beam_size=1, max_length=longest)

    def _written(self, features: Any, start: list[int], **limits: int) -> str:
        with self._lock:
            written = self._model.generate(self._storage.from_array(features), [start], **limits)
        return str(self._tokens.decode(written[0].sequences_ids[0])).strip()
