"""Log-mel spectrogram as used to train Whisper: 80 bands, 25 ms windows, 10 ms hop."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.sound import RATE, Samples

BANDS = 80
WINDOW = 400
HOP = 160

_LINEAR_HZ = 200 / 3
_LOG_FROM_HZ = 1000.0
_LOG_STEP = np.log(6.4) / 27.0


def log_mel(samples: Samples) -> NDArray[np.float32]:
    """Shape (80, frames), one frame per 10 ms of 16 kHz samples; at least 400 samples.

    Source: Radford and others 2022 (arXiv 2212.04356), section 2.2; Slaney's mel scale.
    """
    padded = np.pad(samples, WINDOW // 2, mode="reflect")
    windows = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP][:-1]
    power = np.abs(np.fft.rfft(windows * _hann(), axis=-1)).astype(np.float32) ** 2
    logs = np.log10(np.maximum(_filters() @ power.T, 1e-10))
    scaled: NDArray[np.float32] = ((np.maximum(logs, logs.max() - 8.0) + 4.0) / 4.0).astype(
        np.float32
    )
    return scaled


@lru_cache(maxsize=1)
def _hann() -> Samples:
    window: Samples = np.hanning(WINDOW + 1)[:-1].astype(np.float32)
    return window


@lru_cache(maxsize=1)
def _filters() -> NDArray[np.float32]:
    """Triangular filters between neighbouring band edges, each of equal area; shape (80, 201)."""
    top = _LOG_FROM_HZ / _LINEAR_HZ + np.log(RATE / 2 / _LOG_FROM_HZ) / _LOG_STEP
    edges = _hz(np.linspace(0.0, top, BANDS + 2))
    ramps = edges[:, None] - np.fft.rfftfreq(WINDOW, 1 / RATE)[None, :]
    widths = np.diff(edges)[:, None]
    triangles = np.maximum(0.0, np.minimum(-ramps[:-2] / widths[:-1], ramps[2:] / widths[1:]))
    filters: NDArray[np.float32] = (triangles * (2.0 / (edges[2:] - edges[:-2]))[:, None]).astype(
        np.float32
    )
    return filters


def _hz(mels: NDArray[np.float64]) -> NDArray[np.float64]:
    from_mel = _LOG_FROM_HZ / _LINEAR_HZ
    above = _LOG_FROM_HZ * np.exp(_LOG_STEP * np.maximum(mels - from_mel, 0.0))
    return np.where(mels < from_mel, mels * _LINEAR_HZ, above)
