"""One door for who reads: what it is, its last checks, and what is open since the last of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.dialogue.seeking import called
from bot.dialogue.wording import part_name
from bot.domain.door import Door
from bot.domain.findings import Verdict
from bot.domain.people import Person
from bot.logbook.kept import KeptCheck
from bot.logbook.views import Reader

MOST_DOORS = 4
MOST_CHECKS = 5
_OPEN = (Verdict.ACT_NOW, Verdict.DEFECT, Verdict.UNKNOWN)


def doors_called(book: Reader, person: Person, words: str) -> list[Door]:
    """The doors of that number on a person's sites. words: "14" or "door 14"."""
    number = words.casefold().removeprefix("door ").strip()
    return [door for door in book.doors() if person.knows(door.site) and door.number.casefold() == number]


def look(book: Reader, doors: Iterable[Door]) -> str:
    """What stands in the logbook of some doors, a few lines each."""
    return "\n\n".join("\n".join(_lines(book, door)) for door in list(doors)[:MOST_DOORS])


def _lines(book: Reader, door: Door) -> list[str]:
    checks = book.checks(door)
    signed = [check for check in reversed(checks) if check.stage == "signed"]
    lines = [f"{called(door)}."]
    if not signed:
        lines.append("Never checked to the end.")
    else:
        lines += [_told(book, signed[0]), *_left_open(book, signed[0])]
        lines += [f"Before: {_told(book, check)}" for check in signed[1:MOST_CHECKS]]
    lines += [f"Open check by {check.person}, since {_day(book, check.started)}."
              for check in checks if check.stage in ("open", "paused")]  # fmt: skip
    return lines


def _told(book: Reader, check: KeptCheck) -> str:
    closed = _day(book, check.closed or check.started)
    return f"{closed}, {check.person}: {check.verdict}, {check.answers} answers."


def _left_open(book: Reader, check: KeptCheck) -> list[str]:
    found = [each.finding for each in book.findings(check.id) if each.finding.verdict in _OPEN]
    found.sort(key=lambda finding: _OPEN.index(finding.verdict))
    checklist = book.checklist(check.checklist)
    parts = {key: part_name(checklist.ask(key), checklist) for key in {*check.skipped, *(f.question for f in found)}}
    lines = [
        f"– {'ACT NOW, ' if finding.verdict is Verdict.ACT_NOW else ''}{parts[finding.question]}: {finding.what}"
        for finding in found
    ]
    lines += [f"– {parts[key]}: not checked" for key in check.skipped]
    return lines or ["Nothing is open."]


def _day(book: Reader, at: datetime) -> str:
    return f"{at.astimezone(ZoneInfo(book.zone)):%d %b %Y, %H:%M}"
