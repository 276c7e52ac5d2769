"""Recording quality: loudness, clipping, noise, background speech; computed before recognition.

Rejects nothing. The figures are evidence for the confidence, and a hint if confidence was too low.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.sound import FULL_SCALE, Samples, Sound
from doorround.hearing.audio.vad import FAINT, FRAME, SPEECH, DetectedSpeech, detect_speech
from doorround.messages import recordings

FLOOR_DB = -120.0
"""Level assigned to digital silence."""

NOTHING_DB = -100.0
"""Frame level, below full scale, under which there is no background."""

MIN_FRAMES = 3
"""Minimum frames between words, of 0.1 s, for a noise estimate: fewer are just the tail
of a word.
"""

FLAT_RUN = 3
"""Equal consecutive samples near the peak that make a flat top; a pure tone at 1 kHz has at most
two.
"""

FLAT_SHARE = 0.98
"""Fraction of the peak above which flat tops are searched: a clipped recording reduced in volume is
still clipped.
"""

LOUD_CLIPPED = 0.05
"""Share of flat tops from which a failure is attributed to loudness.

Tuning half, 50 clips, ten words, pair, right and accepted of 50: clean 45, clipped x2 43, x5 31,
x10 29, x30 15.
"""

QUIET_DB = -40.0
"""Peak below which a failure is attributed to low volume.

Peak at -30 dB: 48 of 50 right, at -50 dB 41, clean 49.
"""

NOISY_DB = 10.0
"""Signal-to-noise ratio below which a failure is attributed to noise. Pink noise at 10 dB: 45 of 50
right, clean 49; of 15 that were not accepted 14 get this line, of 41 at 0 dB all, of 5 clean ones
one.
"""

DROWNED_DB = -40.0
"""Level of a recording without detected speech from which noise is assumed to mask the words.
Tuning half, 60 clips in pink noise: at 0 dB 18 have no detected speech, all louder than this, at -5
dB 46. A quiet room is at -60 and less.
"""

SPOKEN = 90
"""Percentile of the level of the 32 ms speech frames used as speech level."""

QUIET = 15
"""Percentile of the level of all frames used as background level."""

DEEP = 32.0
"""Decibels of depth: below it, with more murmur than MURMUR, other people may be talking."""

MURMUR = 0.3
"""Share of murmur: above it, with less depth than DEEP, other people may be talking.

Tuning half: true of 3.6 % of 443 clean right answers, of 1.5 % of 195 in pink noise, and of 23 of
27 recordings in which other voices reversed a yes or no. At 24 and 0.45: 2.3 %, none, and 18 of 27.
Of 150 clips, ten words: clean 2, pink 20 to 0 dB 1, 1, 3, 4, 2, voices the same 38, 64, 91, 83,
113.
"""


MIN_BESIDE = 10
"""Frames without speech, 0.3 s, from which they show the background. With fewer, in a clip cut
close to its words, the quietest frames are the words themselves, and look like other people.
"""

WITHIN = 2
"""Percentile of the level of all stretches of 8 ms, between and within the words, that shows the
background of such a clip: a "p" or "t" begins with silence.
"""

DEEP_WITHIN = 36.0
"""Decibels from the words down to it from which such a clip is quiet. Fitting half, cut to its
sound: 96 % of 160 trade phrases in quiet reach 35, and 3 % of 480 under other voices at 15 to 5 dB;
of "yes" and "no" 74 % reach 38, and 10 % under voices.
"""


@dataclass(frozen=True)
class Backdrop:
    """The background. depth: dB from the words down to the quietest part. murmur: probability of
    speech outside the words, 0 to 1. measured: whether there are frames enough without speech to
    measure it in; if not, and the words do not lie deep, it counts as talk.
    """

    depth: float
    murmur: float
    measured: bool = True

    @property
    def talk(self) -> bool:
        """Whether it may be other people."""
        return self.depth < DEEP and self.murmur > MURMUR


@dataclass(frozen=True)
class Level:
    """Quality of a recording; all levels in dB, the first three below full scale.

    peak_db: the largest sample. level_db: root mean square of the whole. speech_db: of the speech
    frames; FLOOR_DB if there are none. clipped: share of samples in flat tops at full scale or at
    the recording's own peak, 0 to 1. snr_db: speech relative to the frames between; None with too
    few of those, so a short clip without a pause gives none. behind: the background relative to the
    words; None without speech. dropped: share of samples within the speech that are digital
    silence. offset: DC offset, 0 to 1.
    """

    peak_db: float
    level_db: float
    speech_db: float
    clipped: float
    snr_db: float | None
    behind: Backdrop | None
    dropped: float
    offset: float


def level_of(detected: DetectedSpeech) -> Level:
    """Measure a recording."""
    sound = detected.sound
    samples = sound.samples
    frames, speech = _framed(samples, detected.probabilities)
    power = np.mean(np.square(frames, dtype=np.float64), axis=1)
    spoken = power[speech >= SPEECH]
    between = power[speech < FAINT]
    speech_db = _db(float(spoken.mean())) if len(spoken) else FLOOR_DB
    return Level(
        peak_db=_db(sound.peak**2),
        level_db=max(FLOOR_DB, sound.level_dbfs),
        speech_db=speech_db,
        clipped=_flat_tops(samples, sound.peak),
        snr_db=(
            speech_db - _db(float(between.mean()))
            if len(spoken) and len(between) >= MIN_FRAMES
            else None
        ),
        behind=_behind(frames, speech) if len(spoken) else None,
        dropped=_dropped(frames[speech >= SPEECH]),
        offset=abs(float(samples.mean(dtype=np.float64))) if len(samples) else 0.0,
    )


def backdrop(detected: DetectedSpeech) -> Backdrop:
    """The background. If too short to measure: talk."""
    frames, speech = _framed(detected.sound.samples, detected.probabilities)
    return _behind(frames, speech)


def advice(level: Level) -> str | None:
    """One line: what may be wrong with a poorly recognised recording, and what to do.

    None: nothing found.
    """
    if level.clipped >= LOUD_CLIPPED:
        return recordings.TOO_LOUD
    if level.peak_db < QUIET_DB:
        return recordings.TOO_QUIET
    nobody = level.behind is None
    if (nobody and level.level_db >= DROWNED_DB) or (
        level.snr_db is not None and level.snr_db < NOISY_DB
    ):
        return recordings.TOO_NOISY
    if level.behind is not None and level.behind.talk:
        return recordings.OTHER_VOICES if level.behind.measured else recordings.CUT_CLOSE
    return None


def advice_on(recording: Sound | DetectedSpeech) -> str | None:
    """The same for a recording."""
    return advice(level_of(detect_speech(recording)))


def _db(power: float) -> float:
    return max(FLOOR_DB, 10 * math.log10(power)) if power > 0 else FLOOR_DB


def _flat_tops(samples: Samples, peak: float) -> float:
    """Share of samples at full scale, or in runs that stay at the peak."""
    if peak < 1e-3:
        return 0.0
    places = np.flatnonzero(np.abs(samples) >= min(FULL_SCALE, FLAT_SHARE * peak))
    ends = np.concatenate(([-1], np.flatnonzero(np.diff(places) > 1), [len(places) - 1]))
    runs = np.diff(ends)
    return float(runs[runs >= FLAT_RUN].sum()) / len(samples)


def _dropped(frames: Samples) -> float:
    """Share of the speech that is digital silence in gaps of 8 ms and more: packets lost in
    transit.
    """
    if not frames.size:
        return 0.0
    return float(np.mean(np.all(frames.reshape(-1, FRAME // 4) == 0.0, axis=1)))


def _framed(samples: Samples, speech: NDArray[np.float32]) -> tuple[Samples, NDArray[np.float32]]:
    """Whole frames, shape (frames, FRAME), and each one's speech probability."""
    count = min(len(speech), len(samples) // FRAME)
    return samples[: count * FRAME].reshape(count, FRAME), speech[:count]


def _behind(frames: Samples, speech: NDArray[np.float32]) -> Backdrop:
    """The words relative to the background, from the frames and each one's speech probability."""
    if not len(frames):
        return Backdrop(0.0, 1.0, measured=False)
    levels = _levels(frames)
    spoken = levels[speech >= SPEECH]
    words = float(np.percentile(spoken if len(spoken) else levels, SPOKEN))
    measured = bool(np.sum(speech < FAINT) >= MIN_BESIDE)
    if not measured:
        within = words - float(np.percentile(_levels(frames.reshape(-1, FRAME // 4)), WITHIN))
        if within >= DEEP_WITHIN:
            return Backdrop(within, 0.0, measured)
    under = levels <= np.percentile(levels, 2 * QUIET)
    depth = words - float(np.percentile(levels, QUIET))
    return Backdrop(depth, float(np.mean(speech[under])), measured)


def _levels(frames: Samples) -> NDArray[np.float64]:
    """Level of each frame in dB below full scale, not under NOTHING_DB."""
    power = np.mean(np.square(frames, dtype=np.float64), axis=1)
    levels: NDArray[np.float64] = 10 * np.log10(np.maximum(power, 10 ** (NOTHING_DB / 10)))
    return levels
