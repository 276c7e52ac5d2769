"""Free transcription with Whisper through CTranslate2: for notes, and for comparison with the
second listener's. Never an answer.
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
"""The token after which Whisper expects preceding text as its prompt."""


class WhisperTranscriber:
    """Transcribes with a model loaded elsewhere. Thread-safe; threads take turns."""

    def __init__(self, model: Any, tokens: Any, start: list[int], lock: threading.Lock) -> None:
        """start: Whisper's prompt tokens, up to the first that it generates. lock: held while the
        model is in use.
        """
        import ctranslate2

        self._storage = ctranslate2.StorageView
        self._model, self._tokens, self._start, self._lock = model, tokens, start, lock

    def words(self, sound: Sound) -> str:
        """Transcription of any speech, up to 30 s."""
        most = MAX_SECONDS * RATE
        samples = np.pad(sound.samples[:most], (0, max(0, most - len(sound.samples))))
        return self._written(log_mel(samples)[None], self._start)

    def transcribe(self, encoded: Encoded, most: int, prompt: str = "") -> str:
        """Transcription of an encoded recording, in up to that many tokens. prompt: words that may
        occur in it, which biases Whisper towards them.
        """
        start = self._start
        if prompt:
            words = self._tokens.encode(f" {prompt}", add_special_tokens=False).ids
            start = [int(self._tokens.token_to_id(PROMPT)), *words, *start]
        # CTranslate2 generates up to half of its maximum length, minus the length of the start
        # tokens
        longest = most + max(most, len(start))
        return self._written(encoded.states, start, beam_size=1, max_length=longest)

    def _written(self, features: Any, start: list[int], **limits: int) -> str:
        with self._lock:
            written = self._model.generate(self._storage.from_array(features), [start], **limits)
        return str(self._tokens.decode(written[0].sequences_ids[0])).strip()
