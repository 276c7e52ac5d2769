"""Labelled recordings of people, for fitting and measuring; split in half by speaker."""

from __future__ import annotations

import csv
import hashlib
from dataclasses import dataclass
from pathlib import Path

MANIFEST = "manifest.csv"
NEEDED = ("file", "words", "speaker")

NOBODY = "-"
"""Speaker of a clip without speech."""

STRANGE = "_unknown_"
"""Label of a clip with out-of-vocabulary words."""

SILENT = "_silence_"
"""Label of a clip without words."""


@dataclass(frozen=True)
class LabelledClip:
    """One recording and its words. source: its data set. question: key of the question that it
    answers, "" for none.
    """

    path: Path
    words: str
    speaker: str
    source: str
    question: str = ""

    @property
    def for_tuning(self) -> bool:
        """Whether its speaker belongs to the fitting half; the other half is only for reporting."""
        return in_tuning_half(self.path.name if self.speaker == NOBODY else self.speaker)


def in_tuning_half(speaker: str) -> bool:
    """The half of a speaker: whether the first byte of SHA-256 of "doorround " and the name is
    even. Stable.
    """
    return hashlib.sha256(f"doorround {speaker}".encode()).digest()[0] % 2 == 0


def read_clips(folder: Path) -> list[LabelledClip]:
    """The clips in manifest.csv: columns file, words, speaker, and optionally source, question,
    separated by commas or semicolons. Raises ValueError with line and what to do.
    """
    path = folder / MANIFEST
    if not path.is_file():
        raise ValueError(
            f"{folder} holds no {MANIFEST}. Write one, with the columns {', '.join(NEEDED)} and"
            " question."
        )
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise ValueError(f"{folder.name}/{MANIFEST} is not UTF-8. Save it as CSV UTF-8.") from error
    header = text.partition("\n")[0]
    rows = csv.DictReader(
        text.splitlines(), delimiter=";" if header.count(";") > header.count(",") else ","
    )
    for column in NEEDED:
        if column not in (rows.fieldnames or ()):
            raise ValueError(f"{folder.name}/{MANIFEST} lacks the column {column}. Add it.")
    return [_clip(folder, row, rows.line_num) for row in rows]


def _clip(folder: Path, row: dict[str, str | None], line: int) -> LabelledClip:
    cells = {
        column: (cell or "").strip()
        for column, cell in row.items()
        if column and not isinstance(cell, list)
    }
    for column in NEEDED:
        if not cells[column]:
            more = (
                f" Words that are not an answer are {STRANGE}, silence {SILENT}."
                if column == "words"
                else ""
            )
            raise ValueError(f"{MANIFEST}, line {line}: {column} is empty. Fill it in.{more}")
    path = folder / cells["file"]
    if not path.is_file():
        raise ValueError(
            f"{MANIFEST}, line {line}: there is no recording {cells['file']} in {folder}."
        )
    return LabelledClip(
        path, cells["words"], cells["speaker"], cells.get("source", ""), cells.get("question", "")
    )
