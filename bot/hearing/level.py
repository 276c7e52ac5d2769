"""How a recording was made: how loud, how clipped, how noisy, who talks behind it. Told before anything is recognised.

It turns nothing away. The figures are evidence, and a hint once something was not understood.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bot.hearing.activity import FAINT, FRAME, SPEECH
from bot.hearing.audio import FULL_SCALE, Samples, Sound

FLOOR_DB = -120.0
"""What digital silence counts as."""

FEW_FRAMES = 3
"""Frames between the words, 0.1 s, under which nothing is said of the noise: what is there is the end of a word."""

FLAT_RUN = 3
"""Equal samples in a row near the peak that make a flat top; a pure tone at 1 kHz has at most two."""

FLAT_SHARE = 0.98
"""Share of the peak over which a flat top is looked for: a clip made quieter afterwards stays a clipped clip."""

QUIET_SHARE = 0.4
"""Share of the frames, the quietest, in which what is behind the words is looked for."""

LOUD_CLIPPED = 0.05
"""Share of flat tops from which a miss is put down to loudness.

Tuning half, 50 clips, ten words, pair, right and accepted of 50: clean 48, clipped x2 45, x5 38, x10 32, x30 22.
"""

QUIET_DB = -40.0
"""Peak under which a miss is put down to quietness. Peak at -30 dB: 48 of 50 right, at -50 dB 41, clean 49."""

NOISY_DB = 10.0
"""Speech to noise under which a miss is put down to noise. Pink noise at 10 dB: 44 of 50 right, clean 49."""

TALK_DB = -20.0
"""Speech-like sound behind the words from which a miss is put down to others talking.

Tuning half, 60 clips, median and ninth decile: clean -120 and -28, pink 10 dB -21 and -18, voices 10 dB -17 and -12.
It tells clean from noisy well, and voices from loud steady noise only together with snr_db.
"""


@dataclass(frozen=True)
class Level:
    """How a recording was made; all levels in dB, the first two under full scale.

    peak_db: the largest sample. speech_db: root mean square of the frames with speech; FLOOR_DB where there are none.
    clipped: share of samples in flat tops at full scale or at the recording's own peak, 0 to 1. snr_db: speech against
    the frames between; None where there are too few of those, so a short clip with no pause tells nothing.
    behind_db: speech-like sound in the quietest part of the recording against the words: power times how probably
    someone speaks, where that is FAINT at least. 0 is as loud as the words, FLOOR_DB nothing; None where nobody speaks.
    What is said just under the words and nowhere else it cannot tell.
    dropped: share of samples inside the speech that are a gap of digital silence. offset: mean, 0 to 1.
    """

    peak_db: float
    speech_db: float
    clipped: float
    snr_db: float | None
    behind_db: float | None
    dropped: float
    offset: float


def level_of(sound: Sound, probabilities: NDArray[np.float32]) -> Level:
    """Measure a recording. probabilities: of speech, one each 32 ms, from speech_probabilities(sound)."""
    samples = sound.samples
    if not len(samples):
        return Level(FLOOR_DB, FLOOR_DB, 0.0, None, None, 0.0, 0.0)
    frames = np.pad(samples, (0, len(probabilities) * FRAME - len(samples))).reshape(-1, FRAME)
    heard = probabilities >= SPEECH
    power = np.mean(np.square(frames, dtype=np.float64), axis=1)
    between = power[probabilities < FAINT]
    enough = bool(heard.any()) and len(between) >= FEW_FRAMES
    speech_db = _db(float(power[heard].mean())) if heard.any() else FLOOR_DB
    return Level(
        peak_db=_db(sound.peak**2),
        speech_db=speech_db,
        clipped=_flat_tops(samples, sound.peak),
        snr_db=speech_db - _db(float(between.mean())) if enough else None,
        behind_db=_behind(power, probabilities, float(power[heard].mean())) if heard.any() else None,
        dropped=_dropped(frames[heard]),
        offset=abs(float(samples.mean(dtype=np.float64))),
    )


def advice(level: Level) -> str | None:
    """After a miss: one line, what may have been wrong with the recording and what to do. None: nothing seen."""
    if level.clipped >= LOUD_CLIPPED:
        return "Too loud. Hold the phone a forearm away and say it again."
    if level.peak_db < QUIET_DB:
        return "Too quiet. Hold the phone nearer and say it again."
    if level.snr_db is not None and level.snr_db < NOISY_DB:
        return "Too much noise. Turn away from it, speak close to the phone, or tap."
    if level.behind_db is not None and level.behind_db >= TALK_DB:
        return "Others may be talking. Speak close to the phone, or tap."
    return None


def _db(power: float) -> float:
    return max(FLOOR_DB, 10 * math.log10(power)) if power > 0 else FLOOR_DB


def _flat_tops(samples: Samples, peak: float) -> float:
    """Share of samples that lie at full scale, or in runs that stay at the peak."""
    if peak < 1e-3:
        return 0.0
    places = np.flatnonzero(np.abs(samples) >= min(FULL_SCALE, FLAT_SHARE * peak))
    ends = np.concatenate(([-1], np.flatnonzero(np.diff(places) > 1), [len(places) - 1]))
    runs = np.diff(ends)
    return float(runs[runs >= FLAT_RUN].sum()) / len(samples)


def _dropped(frames: Samples) -> float:
    """Share of the speech that is digital silence in stretches of 8 ms and more: packets lost on the way."""
    if not frames.size:
        return 0.0
    return float(np.mean(np.all(frames.reshape(-1, FRAME // 4) == 0.0, axis=1)))


def _behind(power: NDArray[np.float64], probabilities: NDArray[np.float32], words: float) -> float:
    """Power of the quiet frames as far as they are speech-like, against the words, dB."""
    quiet = np.argsort(power, kind="stable")[: max(1, round(QUIET_SHARE * len(power)))]
    likely = np.where(probabilities[quiet] >= FAINT, probabilities[quiet], 0.0)
    return _db(float(np.mean(power[quiet] * likely)) / words) if words > 0 else FLOOR_DB
