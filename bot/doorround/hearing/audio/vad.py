"""Voice activity detection with the Silero model included in the faster-whisper package."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.sound import RATE, Samples, Sound
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.model_files.checksums import check_pinned

FRAME = 512
"""Samples per frame: what the model was trained on at 16 kHz, 32 ms."""

CONTEXT = 64
"""Context samples from the previous frame."""

LEAD = 10
"""Frames of digital silence prepended for the model to settle. Without them, 3.0 % of words that
start with the clip are lost at a threshold of 0.59, with them none; of other words 2.0 and 0.9 %.
"""

SPEECH = 0.5
"""Minimum peak probability of a segment. Of 1,364 human clips 0.5 % do not reach it, of 60 of
background noise 8 % do; at 0.59: 0.7 and 3 %; at 0.3: 0.2 and 18 %.
"""

STARTS = 0.5
"""A segment starts above this: Silero's own hysteresis, with STOPS."""

STOPS = 0.35
"""A segment ends below this."""

PAUSE = 0.5
"""Minimum pause in seconds between two answers: people separate answers by 0.6 s and more, words of
one by less.
"""

MARGIN = 0.1
"""Padding in seconds on both sides of a segment."""

AROUND = 0.3
"""Padding in seconds for the engines, on both sides of all possible speech."""

FAINT = 0.3
"""From this probability a frame is possible speech, and is passed to the engines. Only if no frame
reaches it is the recording silent: the probability is also evidence, and rejecting noise is up to
the engines.

PocketSphinx, ten words / digits, all speakers: cut at 0.5 with 0.1 s 89.5 / 73.0 %, this way 93.1 /
83.3 % (with its own padding).
"""


@dataclass(frozen=True)
class SpeechSegment:
    """Speech from `start` to `end` seconds; `probability`: maximum over its frames, 0 to 1."""

    start: float
    end: float
    probability: float


def speech_probabilities(sound: Sound) -> NDArray[np.float32]:
    """Speech probability, 0 to 1, for each 32 ms frame; shape (frames,), at least one frame."""
    frames = _frames(sound.samples)
    state = np.zeros((1, 1, 128), dtype=np.float32)
    output, _, _ = _session().run(None, {"input": frames, "h": state, "c": state})
    result: NDArray[np.float32] = np.asarray(output, dtype=np.float32).reshape(-1)[LEAD:]
    return result


@dataclass(frozen=True, eq=False)
class DetectedSpeech:
    """A recording and its detected speech: computed once, passed on to every stage.

    probabilities: of speech, 0 to 1, for each 32 ms frame; shape (frames,), at least one frame.
    """

    sound: Sound
    probabilities: NDArray[np.float32]

    @property
    def anyone(self) -> bool:
        """Whether there is any possible speech."""
        return bool(len(self.sound.samples)) and float(self.probabilities.max()) >= FAINT

    @cached_property
    def segments(self) -> tuple[SpeechSegment, ...]:
        """The speech segments between pauses, in order, each padded by 0.1 s."""
        seconds = self.sound.seconds
        heard = self.probabilities
        return tuple(_segment(first, last, heard, seconds) for first, last in _runs(heard))

    @cached_property
    def around(self) -> Sound:
        """The sound from 0.3 s before the first possible speech to 0.3 s after the last; all of it
        if there is none.
        """
        active = self._active
        if not len(active):
            return self.sound
        start = active[0] * FRAME / RATE - AROUND
        return self.sound.cut(start, (active[-1] + 1) * FRAME / RATE + AROUND)

    @property
    def span(self) -> float:
        """Seconds from the first to the last possible speech; the duration of the sound if there is
        none.
        """
        active = self._active
        if not len(active):
            return self.sound.seconds
        return float((active[-1] + 1 - active[0]) * FRAME / RATE)

    @property
    def spoken(self) -> float:
        """Seconds of speech, without pauses."""
        return int((self.probabilities >= SPEECH).sum()) * FRAME / RATE

    @property
    def _active(self) -> NDArray[np.intp]:
        return np.nonzero(self.probabilities >= FAINT)[0]


def detect_speech(recording: Sound | DetectedSpeech) -> DetectedSpeech:
    """Detect speech in a recording; a result is returned as it is."""
    if isinstance(recording, DetectedSpeech):
        return recording
    return DetectedSpeech(recording, speech_probabilities(recording))


def _frames(samples: Samples) -> Samples:
    whole = np.pad(
        samples, (LEAD * FRAME, -len(samples) % FRAME or (FRAME if not len(samples) else 0))
    )
    rows = whole.reshape(-1, FRAME)
    before = np.zeros((len(rows), CONTEXT), dtype=np.float32)
    before[1:] = rows[:-1, -CONTEXT:]
    return np.concatenate([before, rows], axis=1)


def _runs(heard: NDArray[np.float32]) -> list[tuple[int, int]]:
    """First and last frame of each speech segment; segments closer than PAUSE are merged."""
    runs: list[tuple[int, int]] = []
    speaking = False
    for index, probability in enumerate(heard.tolist()):
        speaking = probability >= (STOPS if speaking else STARTS)
        if not speaking:
            continue
        if runs and (index - runs[-1][1] - 1) * FRAME < PAUSE * RATE:
            runs[-1] = (runs[-1][0], index)
        else:
            runs.append((index, index))
    return [(first, last) for first, last in runs if heard[first : last + 1].max() >= SPEECH]


def _segment(first: int, last: int, heard: NDArray[np.float32], seconds: float) -> SpeechSegment:
    start = max(0.0, first * FRAME / RATE - MARGIN)
    end = min(seconds, (last + 1) * FRAME / RATE + MARGIN)
    return SpeechSegment(start, end, float(heard[first : last + 1].max()))


@lru_cache(maxsize=1)
def _session() -> Any:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.inter_op_num_threads = options.intra_op_num_threads = 1
    options.enable_cpu_mem_arena = False
    options.log_severity_level = 4
    return onnxruntime.InferenceSession(str(_model()), options, providers=["CPUExecutionProvider"])


def _model() -> Path:
    # Loaded by path: importing faster_whisper itself takes 0.7 s and is not needed.
    spec = find_spec("faster_whisper")
    folders = spec.submodule_search_locations if spec else None
    found = sorted(
        path for folder in folders or [] for path in Path(folder, "assets").glob("silero_vad*.onnx")
    )
    if not found:
        raise EngineUnavailable(
            "The voice activity model is missing. Run: pip install --force-reinstall faster-whisper"
        )
    cure = "Install it again: pip install --force-reinstall --no-deps faster-whisper==1.2.1"
    check_pinned(found[-1].parent, "activity", cure)
    return found[-1]
