"""The logbook for an auditor's eyes: a table, plain lines, or one JSON object a line."""

from __future__ import annotations

import io
import json
import unicodedata
from collections.abc import Iterator
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rich.console import Console
from rich.table import Table
from rich.text import Text

from doorround.domain.check import Clip
from doorround.logbook.errors import UnknownCheckError
from doorround.logbook.event_text import Setting, what
from doorround.logbook.how_heard import how
from doorround.logbook.reader import Reader
from doorround.logbook.records import EventRecord
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

# of 64 digits; enough to compare with a printed list by eye
SHORT_HASH = 8
# entries read from the file at a time
_PAGE = 500


def show_table(logbook: Logbook, door: str | None = None, check: str | None = None) -> Table:
    """Entries as a rich table: number, local time, door, who, what, how it was heard, the hash's
    first eight digits.

    door: only that number. check: only that id.
    """
    table = Table(box=None, pad_edge=False)
    table.add_column("No.", justify="right", no_wrap=True)
    table.add_column("Local time", no_wrap=True)
    for name in ("Door", "Who"):
        table.add_column(name, overflow="fold")
    table.add_column("What", overflow="fold", ratio=3)
    table.add_column("How heard", overflow="fold", ratio=1)
    table.add_column("Hash", no_wrap=True)
    for entry, setting in _told(logbook, door, check):
        # Text, not str: words in square brackets would be taken for rich's own markup
        table.add_row(*(Text(cell) for cell in _cells(entry, setting)))
    return table


def show_lines(
    logbook: Logbook, door: str | None = None, check: str | None = None, width: int = 140
) -> Iterator[str]:
    """The same table as plain lines without colour. width: columns of text."""
    page = io.StringIO()
    Console(file=page, width=width, color_system=None, legacy_windows=False).print(
        show_table(logbook, door, check)
    )
    for line in page.getvalue().splitlines():
        yield line.rstrip()


def show_json(logbook: Logbook, door: str | None = None, check: str | None = None) -> Iterator[str]:
    """One JSON object an entry, in ASCII: its fields, the local time, and for answers what became
    of them.
    """
    for entry, setting in _told(logbook, door, check):
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
    """Where the words of an answer or a note lie in its recording.

    Raises ValueError for an entry without one.
    """
    found = next(iter(logbook.entries(after=entry - 1, limit=1)), None)
    if found is None or found.seq != entry:
        raise ValueError(f"There is no entry {entry}. See doorround logbook show.")
    sha256 = found.body.get("audio_sha256")
    if not sha256:
        raise ValueError(
            f"Entry {entry} has no recording: it was typed or tapped, or is no answer."
        )
    start, end = found.body.get("spoken") or (0.0, None)
    return Clip(audio_sha256=sha256, start=start, end=end)


def local_time(entry: EventRecord) -> str:
    """When it happened by the site's clock: "2026-07-01 09:00:00 BST".

    UTC where the zone is not known here.
    """
    try:
        zone = ZoneInfo(entry.zone)
    except (ZoneInfoNotFoundError, ValueError):
        zone = ZoneInfo("UTC")
    return entry.at.astimezone(zone).strftime("%Y-%m-%d %H:%M:%S %Z")


def _cells(entry: EventRecord, setting: Setting) -> tuple[str, ...]:
    cells = (
        str(entry.seq),
        local_time(entry),
        entry.door or "",
        entry.person,
        what(entry, setting),
        how(entry),
        entry.hash[:SHORT_HASH],
    )
    return tuple(_printable(cell) for cell in cells)


def _printable(text: str) -> str:
    # a note may hold anything; a terminal must not obey it
    return "".join(" " if unicodedata.category(letter)[0] in "CZ" else letter for letter in text)


def _told(
    logbook: Reader, door: str | None, check: str | None
) -> Iterator[tuple[EventRecord, Setting]]:
    settings: dict[str | None, Setting] = {None: Setting()}
    after = 0
    while page := logbook.entries(door=door, check=check, after=after, limit=_PAGE):
        for entry in page:
            if entry.check not in settings:
                settings[entry.check] = _setting(logbook, entry.check or "")
            yield entry, settings[entry.check]
        after = page[-1].seq


def _setting(logbook: Reader, check: str) -> Setting:
    try:
        checklist = logbook.checklist(logbook.check(check).checklist)
    except UnknownCheckError:
        return Setting()
    return Setting(checklist, {given.answer.id: given for given in logbook.answers_given(check)})
