"""The logbook for auditors: a table, plain lines, or JSON lines."""

from __future__ import annotations

import json
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import zip_longest
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from doorround.domain.check import Clip
from doorround.logbook.event_text import EventContext, what
from doorround.logbook.how_heard import how
from doorround.logbook.reader import Reader
from doorround.logbook.records import AnswerRecord, EventRecord
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

# of 64 digits; enough to compare with a printed list by eye
SHORT_HASH = 8
# batch size for reading entries
_PAGE = 500


TITLES = ("No.", "Local time", "Door", "Who", "What", "How heard", "Hash")
WIDTHS = (6, 23, 8, 14, 0, 0, SHORT_HASH)
"""Column widths: what happened gets three parts of the remainder, how it was heard one."""


@dataclass(frozen=True)
class EntryFilter:
    """Filter for entries: all conditions must hold. since, until: UTC. after: only higher numbers;
    limit: at most so many.
    """

    door: str | None = None
    check: str | None = None
    person: str | None = None
    since: datetime | None = None
    until: datetime | None = None
    after: int = 0
    limit: int | None = None


def show_lines(
    logbook: Logbook, wanted: EntryFilter = EntryFilter(), width: int = 140
) -> Iterator[str]:
    """Entries as a plain-text table: number, local time, door, person, event, how it was heard,
    first eight digits of the hash. width: in characters.
    """
    rest = width - sum(WIDTHS) - len(WIDTHS) + 1
    widths = [*WIDTHS[:4], rest - rest // 4, rest // 4, SHORT_HASH]
    yield from _lines(TITLES, widths)
    for entry, setting in _with_context(logbook, wanted):
        yield from _lines(_cells(entry, setting), widths)


def _lines(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """One row, with as many lines as its longest cell needs."""
    if all(len(cell) <= width for cell, width in zip(cells, widths, strict=True)):
        yield _line(cells, widths)
        return
    folded = [
        [cell] if len(cell) <= width else textwrap.wrap(cell, width) or [""]
        for cell, width in zip(cells, widths, strict=True)
    ]
    for line in zip_longest(*folded, fillvalue=""):
        yield _line(line, widths)


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    first, *others = zip(cells, widths, strict=True)
    number = first[0].rjust(first[1])
    return " ".join([number, *[cell.ljust(width) for cell, width in others]]).rstrip()


def show_json(logbook: Logbook, wanted: EntryFilter = EntryFilter()) -> Iterator[str]:
    """One JSON object per entry, in ASCII: its fields, the local time, and for answers what became
    of them.
    """
    for entry, setting in _with_context(logbook, wanted):
        fields = {
            **entry.model_dump(mode="json"),
            "at": stamp(entry.at),
            "local": local_time(entry),
        }
        given = setting.given.get(entry.body.get("id", "")) if entry.kind == "answered" else None
        if given:
            fields |= {"corrected_by": given.corrected_by, "withdrawn_by": given.withdrawn_by}
        yield json.dumps(fields)


def clip_of(logbook: Reader, entry: int) -> Clip:
    """Position of an answer's or note's words in its recording.

    Raises ValueError for an entry without one.
    """
    found = next(iter(logbook.entries(after=entry - 1, limit=1)), None)
    if found is None or found.seq != entry:
        raise ValueError(f"There is no entry {entry}. See doorround logbook show.")
    sha256 = found.body.get("audio_sha256")
    if not sha256:
        raise ValueError(
            f"Entry {entry} has no recording: it was typed or tapped, or is not an answer."
        )
    start, end = found.body.get("spoken") or (0.0, None)
    return Clip(audio_sha256=sha256, start=start, end=end)


def local_time(entry: EventRecord) -> str:
    """Local time of the event: "2026-07-01 09:00:00 BST".

    UTC if the zone is unknown on this computer.
    """
    try:
        zone = ZoneInfo(entry.zone)
    except (ZoneInfoNotFoundError, ValueError):
        zone = ZoneInfo("UTC")
    return entry.at.astimezone(zone).strftime("%Y-%m-%d %H:%M:%S %Z")


def _cells(entry: EventRecord, setting: EventContext) -> tuple[str, ...]:
    given = setting.given.get(entry.body.get("id", "")) if entry.kind == "answered" else None
    cells = (
        str(entry.seq),
        local_time(entry),
        entry.door or "",
        entry.person,
        what(entry, setting),
        how(entry, given.answer if given else None),
        entry.hash[:SHORT_HASH],
    )
    return cells if "".join(cells).isprintable() else tuple(map(_printable, cells))


def _printable(text: str) -> str:
    if text.isprintable():
        return text
    # notes may contain anything, such as terminal control characters
    return "".join(" " if unicodedata.category(letter)[0] in "CZ" else letter for letter in text)


def _with_context(
    logbook: Reader, wanted: EntryFilter
) -> Iterator[tuple[EventRecord, EventContext]]:
    settings: dict[str | None, EventContext] = {None: EventContext()}
    after, left = wanted.after, wanted.limit
    while left is None or left > 0:
        page = logbook.entries(
            wanted.since,
            wanted.check,
            wanted.door,
            after,
            _PAGE if left is None else min(_PAGE, left),
            wanted.until,
            wanted.person,
        )
        new = {entry.check for entry in page if entry.check} - settings.keys()
        settings |= _settings(logbook, sorted(filter(None, new)))
        for entry in page:
            yield entry, settings[entry.check]
        if not page:
            return
        after = page[-1].seq
        left = None if left is None else left - len(page)


def _settings(logbook: Reader, checks: list[str]) -> dict[str | None, EventContext]:
    """The questions and answers of some checks; empty for one that never began."""
    wording = logbook.checklists_of(checks)
    given: dict[str, dict[str, AnswerRecord]] = {check: {} for check in checks}
    for answer in logbook.answers_given(*wording):
        given[answer.check][answer.answer.id] = answer
    return {
        check: EventContext(wording[check], given[check]) if check in wording else EventContext()
        for check in checks
    }
