"""Listener parameters: how much of the prior is subtracted, padding, number of shared phrases, how
much better a pass must score. An organisation may fit them to its own people.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass

PRIOR_SHARE = 0.7
"""Share of a phrase's score on faint noise that is subtracted: Whisper's internal language-model
prior.

Tuning half, ten words: 95.5 % right with 0, 96.9 with 0.7, 96.3 with 1; digits 96, 98, 98.
"""

EXTRA_FRAMES = 300
"""Silent frames after the recording, at the level of its quietest. Tuning half, ten words right,
354 clips: 98.9 %, with 40 frames and 0.4 s before 98.6, with 150 98.3, with 500 and 0.4 s 98.6;
with 40 frames of zeros, which are not silence to Whisper, after 0.2 s 97.2. 792 trade phrases in
pink noise of 5 dB and with other voices at 10: 98.9 and 98.1, with the 40 of zeros 98.5 and 97.3.
It takes 18 ms a clip more and makes the search shorter.
"""

MAX_SHARED = 8
"""Number of phrases passed to the second listener: the first one's best, plus one of another
meaning if none of them has one. With 16 no phrase of 528 was recognised or decided differently (176
of the trade, tuning half's voices: clean, pink noise of 5 dB, other voices at 10), in 5 % more
time.
"""

NEAR = 1.5
"""Nats by which a pass must outscore any other meaning. Tuning half's voices: of 472 right passes
of the trade, clean, in pink noise of 5 dB and with other voices at 10, one is read back because of
it, and 1 of 3 wrong ones.
"""

TRIED: Mapping[str, tuple[float, ...]] = {
    "prior_share": (0.5, 0.9),
    "extra_frames": (150, 450),
    "shortlist": (4, 16),
    "near": (0.5, 3.0),
}
"""Candidate values that `doorround hear calibrate` tries for each, one parameter after another."""


@dataclass(frozen=True)
class Tuning:
    """The parameters in use. Raises ValueError for invalid values."""

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
