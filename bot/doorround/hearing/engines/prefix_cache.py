"""Decoder states of prefixes for one sound: each computed once, from the preceding one."""

from __future__ import annotations

from collections.abc import Sequence

from doorround.hearing.engines.whisper_decoder import Prefixes, SoundKeys, WhisperDecoder

Tokens = tuple[int, ...]


class PrefixCache:
    """The prefixes decoded for one sound. Not thread-safe."""

    def __init__(self, decoder: WhisperDecoder, sound: SoundKeys, start: Sequence[int]) -> None:
        """start: Whisper's prompt tokens, with which every phrase begins."""
        self._decoder = decoder
        self._sound = sound
        self._start = decoder.start(sound, start)
        self._reached: dict[int, tuple[dict[Tokens, int], Prefixes]] = {}

    def forget(self) -> None:
        """Discard all but the start."""
        self._reached.clear()

    def of(self, wanted: Sequence[Tokens]) -> Prefixes:
        """States of prefixes of one length, in this order; missing ones are computed from the
        preceding prefix.
        """
        length = len(wanted[0])
        if not length:
            return self._start.of([0] * len(wanted))
        rows, before = self._reached.get(length, ({}, None))
        new = [tokens for tokens in dict.fromkeys(wanted) if tokens not in rows]
        if new:
            parents = self.of([tokens[:-1] for tokens in new])
            made = self._decoder.step(self._sound, parents, [tokens[-1] for tokens in new])
            before = before.joined(made) if before else made
            rows |= {tokens: len(rows) + place for place, tokens in enumerate(new)}
            self._reached[length] = rows, before
        assert before
        return before.of([rows[tokens] for tokens in wanted])
