"""Cuts one answer out of a longer recording, as a separate voice note for playback."""

from __future__ import annotations

import io
from typing import Any

from doorround.hearing.audio.sound import RATE, Samples, Sound

BIT_RATE = 20_000
OPUS_RATE = 48_000
AROUND = 0.2
"""Seconds of padding before and after, so that no first or last consonant is lost."""


def excerpt(sound: Sound, start: float, end: float) -> bytes:
    """The recording from `start` to `end` seconds, with a little padding, as OGG/Opus, mono.

    Raises ValueError if the range lies outside the recording.
    """
    part = sound.cut(max(0.0, start - AROUND), end + AROUND)
    if end <= start or not len(part.samples):
        raise ValueError(
            f"There is nothing from {start:.1f} s to {end:.1f} s: the recording has"
            f" {sound.seconds:.1f} s."
        )
    return as_ogg(part)


def as_ogg(sound: Sound) -> bytes:
    """A sound as a voice note: OGG/Opus, mono, 20 kbit/s."""
    return opus(sound.samples, RATE)


def opus(samples: Samples, rate: int) -> bytes:
    """Samples (mono, float32, `rate` a second) as OGG/Opus, 20 kbit/s."""
    import av

    out = io.BytesIO()
    with av.open(out, "w", format="ogg") as container:
        stream: Any = container.add_stream("libopus", rate=OPUS_RATE)
        stream.layout = "mono"
        stream.bit_rate = BIT_RATE
        frame = av.AudioFrame.from_ndarray(samples[None, :], format="flt", layout="mono")
        frame.sample_rate = rate
        resampler: Any = av.AudioResampler(format="flt", layout="mono", rate=OPUS_RATE)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            for packet in stream.encode(piece):
                container.mux(packet)
        for packet in stream.encode(None):
            container.mux(packet)
    return out.getvalue()
