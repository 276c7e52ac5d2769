"""Report on one door: description, last checks, and what is still open since then."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from doorround.domain.check import Prompt
from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.judging.severity import Targets
from doorround.domain.parts import part_name
from doorround.domain.people import Person
from doorround.logbook.attachments import Attachment, attachments_of_check
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import UnknownDoorError
from doorround.logbook.records import CheckRecord
from doorround.logbook.store import Logbook
from doorround.messages import query_answers
from doorround.messages.answers import value_words
from doorround.messages.doors import door_name

MAX_DOORS = 4
MAX_CHECKS = 5
MAX_NAMED = 6
"""Maximum number of unchecked parts listed by name."""


def doors_called(logbook: Logbook, person: Person, words: str) -> list[Door]:
    """Doors of that number on a person's sites; if none has it now, the door that had it last.
    words: "14" or "door 14".
    """
    number = words.casefold().removeprefix("door ").strip()
    found = [
        door
        for door in logbook.doors()
        if person.knows(door.site) and door.number.casefold() == number
    ]
    return found or _once_called(logbook, person, number)


def _once_called(logbook: Logbook, person: Person, number: str) -> list[Door]:
    try:
        door = logbook.door(number)
    except UnknownDoorError:
        return []
    return [door] if person.knows(door.site) else []


def door_report(logbook: Logbook, doors: Iterable[Door], defects: bool = True) -> str:
    """Logbook summary of some doors, a few lines each. defects: include theirs."""
    return "\n\n".join(
        "\n".join(_lines(logbook, door, defects)) for door in list(doors)[:MAX_DOORS]
    )


def door_photos(logbook: Logbook, doors: Iterable[Door]) -> tuple[Prompt, ...]:
    """Photos and notes from each door's last check, as separate messages."""
    checks = [_last_signed(logbook, door) for door in list(doors)[:MAX_DOORS]]
    found = [each for check in checks if check for each in attachments_of_check(logbook, check.id)]
    return shown_prompts(logbook, found)


def shown_prompts(logbook: Logbook, found: Iterable[Attachment]) -> tuple[Prompt, ...]:
    """Notes as one message, then each photo as its own."""
    some = list(found)
    notes = [
        query_answers.note_line(each.person, _day(logbook, each.at), each.text)
        for each in some
        if each.text
    ]
    photos = [
        Prompt(
            text=query_answers.photo_line(each.person, _day(logbook, each.at), each.repair),
            photo=each.sha256,
        )
        for each in some
        if each.sha256
    ]
    return (*([Prompt(text="\n".join(notes))] if notes else []), *photos)


def door_answers(logbook: Logbook, doors: Iterable[Door]) -> str:
    """Every answer of each door's last check, in question order."""
    reports = []
    for door in list(doors)[:MAX_DOORS]:
        check = _last_signed(logbook, door)
        if check is None:
            reports.append(f"{door_name(door)}. {query_answers.NEVER_CHECKED}")
            continue
        checklist = logbook.checklist_of(check)
        order = {question.key: nth for nth, question in enumerate(checklist.question)}
        closed = _day(logbook, check.closed or check.started)
        lines = [query_answers.answers_head(door.number, closed, _signed_by(logbook, check))]
        for answer in sorted(logbook.answers(check.id), key=lambda each: order[each.question]):
            question = checklist.ask(answer.question)
            words = value_words(question, answer.value, checklist)
            lines.append(query_answers.answer_line(part_name(question, checklist), words))
        reports.append("\n".join(lines))
    return "\n\n".join(reports)


def _last_signed(logbook: Logbook, door: Door) -> CheckRecord | None:
    """The last check of a door, ignoring short visits for repairs."""
    signed = (
        check
        for check in reversed(logbook.checks(door))
        if check.stage == "signed" and check.look is None
    )
    return next(signed, None)


def _lines(logbook: Logbook, door: Door, defects: bool) -> list[str]:
    checks = logbook.checks(door)
    closed = [check for check in reversed(checks) if check.stage == "signed"]
    signed = [check for check in closed if check.look is None]
    last = signed[0] if signed else None
    lines = [
        f"{door_name(door)}.",
        _check_line(logbook, last) if last else query_answers.NEVER_CHECKED,
    ]
    known = _defects(logbook, door)
    unseen = _unseen(logbook, door, last) if last else []
    lines += [*(known if defects else []), *unseen]
    lines += [query_answers.NOTHING_OPEN] if last and not known and not unseen else []
    lines += [
        query_answers.look_line(_day(logbook, check.closed or check.started), check.person, *look)
        for check in closed
        if (look := check.look) and (last is None or check.started > last.started)
    ]
    lines += [query_answers.earlier(_check_line(logbook, check)) for check in signed[1:MAX_CHECKS]]
    lines += [
        query_answers.open_check(check.person, _day(logbook, check.started))
        for check in checks
        if check.stage in ("open", "paused")
    ]
    return lines


def _defects(logbook: Logbook, door: Door) -> list[str]:
    """Whether it is out of action, and every defect not closed, most severe first."""
    known = read_defects(logbook, Targets(), door=door)
    id = (door.site, door.building, door.number)
    standing = sorted(known.at(id), key=lambda defect: (not defect.danger, defect.first))
    why = known.out.get(id)
    said_below = {each.why_out for each in standing}
    lines = [query_answers.out_because(why)] if why and why not in said_below else []
    return [*lines, *map(query_answers.open_defect, standing)]


def _check_line(logbook: Logbook, check: CheckRecord) -> str:
    closed = _day(logbook, check.closed or check.started)
    verdict = query_answers.check_verdict(check.verdict)
    return query_answers.check_line(closed, _signed_by(logbook, check), verdict, check.answers)


def _signed_by(logbook: Logbook, check: CheckRecord) -> str:
    """Who signed it: after a hand-over, not whoever began it."""
    signed = (
        entry.person for entry in logbook.entries(check=check.id) if entry.kind is EntryKind.SIGNED
    )
    return next(signed, check.person)


def _unseen(logbook: Logbook, door: Door, check: CheckRecord) -> list[str]:
    """Everything that a check did not see, without omission."""
    checklist = logbook.checklist_of(check)
    answered = {answer.question for answer in logbook.answers(check.id)}
    unknown = {
        each.finding.question
        for each in logbook.findings(check.id)
        if each.finding.verdict is Verdict.UNKNOWN
    }
    unseen = [
        part_name(question, checklist)
        for question in checklist.question
        if question.component != "register"
        if question.key in unknown
        or (
            question.key not in answered
            and (question.key in check.skipped or checklist.asks(question, door))
        )
    ]
    if not unseen:
        return [query_answers.NOT_ALL_SEEN] if check.verdict is Verdict.UNKNOWN else []
    return [query_answers.not_checked(unseen[:MAX_NAMED], max(0, len(unseen) - MAX_NAMED))]


def _day(logbook: Logbook, at: datetime) -> str:
    return f"{at.astimezone(ZoneInfo(logbook.zone)):%d %b %Y, %H:%M}"
