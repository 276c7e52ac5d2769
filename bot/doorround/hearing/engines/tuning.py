"""The listener's own figures: how much of its habits is taken off, how long its window is, how many
phrases are shared, how much better a pass must fit. An organisation may have them fitted to its own
people.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass

PRIOR_SHARE = 0.7
"""How much of a phrase's score on faint noise is taken off: what Whisper would rather write
whatever it hears.

Tuning half, ten words: 95.5 % right with 0, 96.9 with 0.7, 96.3 with 1; digits 96, 98, 98.
"""

EXTRA_FRAMES = 300
"""Silent frames after the recording, as quiet as its quietest. Tuning half, ten words heard
rightly, 354 clips: 98.9 %, with 40 frames and 0.4 s before 98.6, with 150 98.3, with 500 and 0.4 s
98.6; with 40 frames of zeros, which are no silence to Whisper, after 0.2 s 97.2. 792 trade phrases
in pink noise of 5 dB and under other voices at 10: 98.9 and 98.1, with the 40 of zeros 98.5 and
97.3. It takes 18 ms a clip more and makes the search shorter.
"""

MAX_SHARED = 8
"""Phrases that the second listener is given, those that the first finds best, and one that means
something else where none of them does. With 16 no phrase of 528 was heard or decided otherwise (176
of the trade, tuning half's voices: clean, pink noise of 5 dB, other voices at 10), in 5 % more
time.
"""

NEAR = 1.5
"""Nats by which a pass must fit better than whatever means something else. Tuning half's voices: of
472 right passes of the trade, clean, in pink noise of 5 dB and under other voices at 10, one is
read back for it, and 1 of 3 wrong ones.
"""

TRIED: Mapping[str, tuple[float, ...]] = {
    "prior_share": (0.5, 0.9),
    "extra_frames": (150, 450),
    "shortlist": (4, 16),
    "near": (0.5, 3.0),
}
"""What `doorround hear calibrate` tries in place of each, one after the other."""


@dataclass(frozen=True)
class Tuning:
    """The figures in use. Raises ValueError for what cannot be."""

    prior_share: float = PRIOR_SHARE
    extra_frames: int = EXTRA_FRAMES
    shortlist: int = MAX_SHARED
    near: float = NEAR

    def __post_init__(self) -> None:
        whole = all(isinstance(value, int) for value in (self.extra_frames, self.shortlist))
        if not (
            whole
            and 0 <= self.prior_share <= 1
            and 0 <= self.extra_frames <= 1000
            and self.shortlist >= 2
        ):
            raise ValueError(f"{self} cannot be.")
        if self.near < 0:
            raise ValueError("near is a distance: 0 or more.")

    @property
    def table(self) -> str:
        """As TOML, on one line."""
        return ", ".join(f"{name} = {value}" for name, value in asdict(self).items())
