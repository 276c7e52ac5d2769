"""Calibration: evidence to probability of being correct, by logistic models fitted by a script and
stored as data.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from doorround.hearing.engines.tuning import Tuning

FILE = Path(__file__).with_name("calibration.toml")

LIMITS: Mapping[str, tuple[float, float]] = {
    # A long phrase that fits adds up to 40 nats, a long clip that does not to -60. Anything over 5
    # is a good fit.
    "total": (-10.0, 5.0),
    "margin": (0.0, 8.0),
    "opposite": (0.0, 12.0),
    "turned": (0.0, 100.0),
    # "Yes" alone is 19 nats from the best decoy, other people's "yes" beneath another word is 12
    # (medians, tuning half).
    "decoy": (-10.0, 25.0),
    "ended": (-6.0, 0.0),
    "fit": (-10.0, 10.0),
    "strange": (0.0, 5.0),
    "surprise": (0.0, 5.0),
    # Whether the phrase is all that was said (coverage.py).
    "end": (-8.0, 0.0),
    "second_end": (-8.0, 0.0),
    "overtime": (-0.5, 2.0),
    "extra": (0.0, 12.0),
    "apart": (0.0, 12.0),
    "nuclei": (-3.0, 4.0),
    "rather": (-2.0, 20.0),
    "depth": (0.0, 40.0),
    # The same depth, around the level where other voices become inaudible.
    "quiet": (35.0, 45.0),
    "murmur": (0.0, 1.0),
    "loop": (-20.0, 0.0),
    "talk": (-60.0, 60.0),
    "gap": (0.0, 100.0),
    "log_frames": (2.0, 7.0),
}
"""Evidence is clipped to these limits, so no single value decides alone."""


COVERS = ("covers", "covers_quiet", "covers_word")
"""The models of coverage; a set of engines has all three or none."""

ANOTHER_WORD = 2.0
"""Phones transcribed beyond those of a single word from which, together with an extra syllable,
another word was said. Fitting half, human "yes" and "no" in quiet: true of 394 of 410 directly
followed by another word, and of 4 of 161 alone. All of the 410 have an extra syllable, and 16 of
the 161.
"""

SYLLABLE = 0.2
"""Minimum duration of a further syllable, in seconds. The hiss of a "yes" is detected as up to
three syllables, without the time for one.
"""

QUIET = 42.0
"""Depth, in dB from the speech down to the background, from which other voices are rare and the
models for quiet apply. Tuning half: of 2,290 recordings of a word with other voices under it, at 15
to 0 dB, 51 reach it; of 1,162 with a radio, none; of 279 clean ones, 181; of 264 clean trade
phrases, all.
"""


@dataclass(frozen=True)
class LogisticModel:
    """A logistic model: its bias, and the weight of each item of evidence."""

    bias: float
    weights: Mapping[str, float]

    def probability(self, evidence: Mapping[str, float]) -> float:
        """0 to 1. Missing evidence counts as 0."""
        sum_ = self.bias + sum(
            weight * limited(name, evidence.get(name, 0.0)) for name, weight in self.weights.items()
        )
        return 1 / (1 + math.exp(-max(-50.0, min(50.0, sum_))))


@dataclass(frozen=True)
class Calibration:
    """The models for one set of engines.

    right: the best guess was said. quiet: the same with a quiet background; None if one model
    serves both. opposite: its opposite was said. covers, covers_quiet, covers_word: a phrase is all
    that was said, in general, with a quiet background, and for a single word; None if unavailable.
    made: data and date of the fit. tuning: the listener's parameters that it was fitted with.
    """

    right: LogisticModel
    opposite: LogisticModel
    made: str = ""
    quiet: LogisticModel | None = None
    covers: LogisticModel | None = None
    covers_quiet: LogisticModel | None = None
    covers_word: LogisticModel | None = None
    tuning: Tuning = field(default_factory=Tuning)

    def probability(self, evidence: Mapping[str, float]) -> float:
        """Probability that the best guess was said, 0 to 1."""
        line = self.quiet if self.quiet and is_quiet(evidence) else self.right
        return line.probability(evidence)

    def covered(self, phrase: str, evidence: Mapping[str, float]) -> float:
        """Probability that the phrase is all that was said, 0 to 1; 1 if there is no evidence."""
        if self.covers is None or "end" not in evidence:
            return 1.0
        if " " not in phrase:
            return self._covered_word(evidence)
        line = self.covers_quiet if is_quiet(evidence) else self.covers
        return line.probability(evidence) if line else 1.0

    def _covered_word(self, evidence: Mapping[str, float]) -> float:
        """Coverage by a single word. Another word adds a syllable and is usually transcribed too;
        if it is not, the end probabilities decide.
        """
        if is_beside_another(evidence):
            return 0.0
        if self.covers_word is None:
            return 1.0
        room = max(0.0, evidence.get("overtime", 0.0)) / SYLLABLE
        syllables = min(evidence.get("nuclei", 0.0), room)
        return self.covers_word.probability({**evidence, "nuclei": syllables})


def is_beside_another(evidence: Mapping[str, float]) -> bool:
    """Whether a single word has another next to it, by its syllables and the transcript."""
    return evidence.get("nuclei", 0.0) >= 1 and evidence.get("extra", 0.0) >= ANOTHER_WORD


def is_quiet(evidence: Mapping[str, float]) -> bool:
    """Whether the background is so quiet that other voices are hardly audible."""
    return evidence.get("depth", 0.0) >= QUIET


def limited(name: str, value: float) -> float:
    """One value clipped to its limits."""
    low, high = LIMITS.get(name, (-math.inf, math.inf))
    return max(low, min(high, value))


def way_of(engines: str) -> str:
    """Name of these engines' coefficients in the file: "pocketsphinx+listener" is a pair."""
    if "+" not in engines:
        return engines
    return "listeners" if "moonshine" in engines else "pair"


def read_calibration(way: str, path: Path = FILE) -> Calibration:
    """The coefficients of one set of engines: listeners, pair, listener, pocketsphinx or vosk.

    Those missing from a custom file are taken from the one in the package. Raises OSError, or
    ValueError if the file does not contain valid ones.
    """
    try:
        whole = tomllib.loads(path.read_text(encoding="utf-8"))
        if way not in whole and path != FILE:
            return read_calibration(way)
        found = calibration_of(whole[way], str(whole.get("made", "")))
        if found.covers or path == FILE:
            return found
        carried = read_calibration(way)
        return replace(found, **{name: getattr(carried, name) for name in COVERS})
    except (KeyError, TypeError, tomllib.TOMLDecodeError) as error:
        raise ValueError(
            f"{path.name} does not tell how to weigh what {way} hears: {error}. Fit it again."
        ) from error


def calibration_of(table: Mapping[str, Any], made: str = "") -> Calibration:
    """The coefficients in the table of one set of engines.

    Raises KeyError, TypeError, ValueError.
    """
    lines = {
        name: LogisticModel(float(line["bias"]), dict(line["weights"]))
        for name, line in table.items()
        if name != "tuning"
    }
    covers = {name: lines.get(name) for name in COVERS}
    tuning = Tuning(**table.get("tuning", {}))
    return Calibration(
        lines["right"], lines["opposite"], made, lines.get("quiet"), **covers, tuning=tuning
    )
