"""Labelled recordings of people, to fit and to measure hearing with; one half of the speakers for each."""

from __future__ import annotations

import csv
import hashlib
from dataclasses import dataclass
from pathlib import Path

NOBODY = "-"
"""Speaker of a clip that nobody speaks in."""

STRANGE = "_unknown_"
"""Words of a clip that says something that was never asked for."""

SILENT = "_silence_"
"""Words of a clip in which nothing is said."""


@dataclass(frozen=True)
class Clip:
    """One recording and what is said in it. source: the set that it comes from. question: key of the question that it
    answers, "" for none."""

    path: Path
    words: str
    speaker: str
    source: str
    question: str = ""

    @property
    def for_tuning(self) -> bool:
        """Whether its speaker belongs to the half that hearing is fitted on; the other half is only reported."""
        return in_tuning_half(self.path.name if self.speaker == NOBODY else self.speaker)


def in_tuning_half(speaker: str) -> bool:
    """The half of a speaker: whether the first byte of SHA-256 of "doorround " and the name is even. Never changes."""
    return hashlib.sha256(f"doorround {speaker}".encode()).digest()[0] % 2 == 0


def read_clips(folder: Path) -> list[Clip]:
    """The clips named in manifest.csv: columns file, words, speaker, and if wanted source, question. Raises
    FileNotFoundError, ValueError."""
    with (folder / "manifest.csv").open(encoding="utf-8", newline="") as stream:
        rows = csv.DictReader(stream)
        missing = {"file", "words", "speaker"} - set(rows.fieldnames or ())
        if missing:
            raise ValueError(f"{folder.name}/manifest.csv lacks the column {sorted(missing)[0]}. Add it.")
        return [
            Clip(folder / row["file"], row["words"], row["speaker"], row.get("source") or "", row.get("question") or "")
            for row in rows
        ]
