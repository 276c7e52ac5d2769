"""Summaries: the state of things, for a supervisor at the end of a day, a week or a month."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from doorround.domain.defects import ChangeKind, Defect, State, by_urgency
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorId, Due, DueState
from doorround.domain.summary import Period
from doorround.messages import buttons
from doorround.messages.phrasing import counted
from doorround.messages.unconfirmed import unconfirmed_lines

MAX_ACT_NOW = 3
MAX_PEOPLE = 4
MAX_WORST = 3
MAX_TAPS = 6
CHECKS = "Checks"
CAUTION = "Simple checks: the doors' own evidence, local rules and a competent person decide."
"""Included in every summary and every exported document."""
SHORT_CAUTION = "Simple checks: a competent person decides."


@dataclass(frozen=True)
class Summary:
    """text: the message. taps: follow-up commands, as typed. silent: nothing happened and nothing
    needs doing.
    """

    text: str
    taps: tuple[str, ...] = ()
    silent: bool = False

    @property
    def whole_text(self) -> str:
        """The message as sent, with the caution."""
        return f"{self.text}\n{CAUTION}"


def day_name(day: date) -> str:
    """Title of a day's summary."""
    return f"{day:%A} {_spoken(day)}"


def week_name(day: date) -> str:
    """Title of a week's summary. day: its last so far."""
    return f"The week up to {day:%A} {_spoken(day)}"


def month_name(day: date) -> str:
    """Title of a month's summary. day: its last so far."""
    return f"{day:%B} {day.year}, up to {_spoken(day)}"


def since(name: str, moment: str) -> str:
    """Title of a summary that continues from the previous one."""
    return f"{name}, since {moment}"


def moment(at: datetime, day: date) -> str:
    """Time of the previous summary: "Friday 16:30", or with its date if a week or more ago; for the
    start of a day only the day. at: local.
    """
    named = f"{at:%A}" if (day - at.date()).days < 7 else _spoken(at.date())
    return f"{named} {at:%H:%M}" if at.time() != time() else named


def _spoken(day: date) -> str:
    return f"{day.day} {day:%B}"


def summary_of(period: Period) -> Summary:
    """The message for a period: decisions first, with location and start; overdue items, and by how
    much; repairs waiting for a look; then one line of what was done. A week or a month also says
    who did it, who is assigned what, and what has become better or worse.
    """
    open_ones = by_urgency(each for each in period.defects if each.state is State.OPEN)
    late = sorted(
        (each for each in period.due if each.when is DueState.OVERDUE),
        key=lambda each: -each.days_late,
    )
    today = [each for each in period.due if each.when is DueState.TODAY]
    lines = [
        *_out(open_ones, period),
        *unconfirmed_lines(period),
        *_clock(period),
        *_late(late, today),
    ]
    lines += [*_late_defects(period), *_looks(period), *_snoozed(period)]
    lines += _put_off(open_ones) * period.long
    done = _done(period)
    if not lines and not done:
        silent = f"{period.name}: nothing due, nothing done, nothing wrong."
        return Summary("\n".join((silent, *_corrected(period))), silent=True)
    lines.append(f"{period.name}: {', '.join(done) or 'nothing done'}")
    lines += [*_holders(open_ones, period.last), *_better_or_worse(period)] if period.long else []
    return Summary(
        "\n".join([*lines, *_corrected(period)]), _taps(open_ones, late, bool(today), period)
    )


def _clock(period: Period) -> list[str]:
    doubted = sum(each.doubted for each in period.visits)
    if not (period.clock or doubted):
        return []
    moved = f"; {counted(doubted, 'check')} not counted" if doubted else ""
    return [f"⚠️ Clock in doubt: {period.clock or 'it is plausible again'}{moved}"]


def _corrected(period: Period) -> list[str]:
    """Corrections entered since."""
    return [
        f"Corrected since: {person}, {at.day} {at:%B %Y}: {what}"
        for at, person, what in period.corrected
    ]


def _out(open_ones: Sequence[Defect], period: Period) -> list[str]:
    """Doors out of action, each with location, reason, start, and assignee."""
    grave = [each for each in open_ones if each.severity is Severity.ACT_NOW]
    named = {each.door for each in grave}
    waiting = {each.door for each in period.defects if each.out_of_action and not each.danger}
    lines = [_out_line(each.door, each.what, each.opened, period, _has(each)) for each in grave]
    for door in sorted(set(period.out) - named - waiting):
        lines.append(_out_line(door, period.out[door], period.since.get(door), period, ""))
    rest = len(lines) - MAX_ACT_NOW
    return [*lines[:MAX_ACT_NOW], *([f"⚠️ And {rest} more out of action"] if rest > 0 else [])]


def _out_line(door: DoorId, why: str, since: date | None, period: Period, has: str) -> str:
    place = period.places.get(door, "")
    where = f", {place}" if place else ""
    begun = f" since {_spoken(since)}" if since else ""
    return f"⚠️ Out of action: {door[2]}{where}: {why}{begun}{has}"


def _has(defect: Defect) -> str:
    return f" ({defect.given_to or 'nobody has it'})"


def _late(late: Sequence[Due], today: Sequence[Due]) -> list[str]:
    lines = []
    if late:
        worst, *others = late[:MAX_WORST]
        doors = [f"{worst.door.number} ({counted(worst.days_late, 'day')})"]
        doors += [f"{each.door.number} ({each.days_late})" for each in others]
        lines.append(f"Late: {', '.join(doors)}{_more(len(late) - MAX_WORST)}")
    if today:
        lines.append(f"Due today, not done: {counted(len(today), 'door')}")
    return lines


def _late_defects(period: Period) -> list[str]:
    late = sorted(
        (
            each
            for each in period.defects
            if each.late(period.last) and each.severity is not Severity.ACT_NOW
        ),
        key=lambda each: -each.late(period.last),
    )
    if not late:
        return []
    worst = late[0]
    about = f"{worst.door[2]}, {worst.what}, {counted(worst.late(period.last), 'day')}"
    return [f"Defect late: {about}{_has(worst)}{_more(len(late) - 1)}"]


def _looks(period: Period) -> list[str]:
    """Repairs waiting for a look, by date; until then, a door that is out of action stays so."""
    waiting = sorted(
        (each for each in period.defects if each.state is State.MADE_GOOD),
        key=lambda each: (each.look_by or date.max, each.id),
    )
    doors = [
        each.door[2]
        + (f" by {_spoken(each.look_by)}" if each.look_by else "")
        + (" (out of action)" if each.out_of_action else "")
        for each in waiting[:MAX_WORST]
    ]
    line = f"Repaired, to look at: {', '.join(doors)}{_more(len(waiting) - MAX_WORST)}"
    return [line] * bool(waiting)


def _more(number: int) -> str:
    return f", {number} more" if number > 0 else ""


def _snoozed(period: Period) -> list[str]:
    """Who snoozed their reminders, and how many due doors are waiting for it."""
    return [
        f"Snoozed: {name} until {_spoken(until)}, {counted(doors, 'door')} waiting"
        for name, until, doors in period.snoozed
    ]


def _put_off(open_ones: Sequence[Defect]) -> list[str]:
    """Defects whose target date is later than their severity allows."""
    put_off = [each for each in open_ones if each.put_off]
    numbers = ", ".join(each.door[2] for each in put_off[:MAX_WORST])
    return [f"Later than our own rule: {numbers}{_more(len(put_off) - MAX_WORST)}"] * bool(put_off)


def _done(period: Period) -> list[str]:
    """What was done, each part with its count; zero counts are omitted."""
    by = Counter(each.person for each in period.visits if each.seen)
    names = [f"{name} {number}" for name, number in by.most_common(MAX_PEOPLE)]
    names += [f"{len(by) - MAX_PEOPLE} more"] if len(by) > MAX_PEOPLE else []
    who = f" ({', '.join(names)})" if period.long or len(by) == 1 else ""
    looked = sum(not each.seen for each in period.visits)
    new, again, ended = (
        period.changed(what) for what in (ChangeKind.NEW, ChangeKind.AGAIN, ChangeKind.ENDED)
    )
    parts = (
        (sum(by.values()), f"{counted(sum(by.values()), 'check')}{who}"),
        (looked, f"{looked} without access"),
        (new, f"{counted(new, 'new defect')}"),
        (again, f"{again} open again"),
        (ended, f"{ended} made good"),
        (period.looks, f"{counted(period.looks, 'repair')} looked at"),
    )
    return [text for number, text in parts if number]


def _better_or_worse(period: Period) -> list[str]:
    """Changes since the previous step, in words; empty if none."""
    if len(period.trend) < 2:
        return []
    before, now = period.trend[-2:]
    changes = [
        f"{what} {'up' if after > earlier else 'down'} from {earlier} to {after}"
        for what, earlier, after in (
            ("overdue", before.overdue, now.overdue),
            ("open defects", before.open, now.open),
            ("checks", before.checks, now.checks),
        )
        if after != earlier
    ]
    return [f"Since {before.name}: {', '.join(changes)}"] if changes else []


def _holders(open_ones: Sequence[Defect], today: date) -> list[str]:
    """How many defects are open, and who they are assigned to."""
    if not open_ones:
        return []
    has = Counter(each.given_to or "nobody" for each in open_ones)
    late = Counter(each.given_to or "nobody" for each in open_ones if each.late(today))
    holders = [
        f"{name} {number}" + (f" ({late[name]} late)" if late[name] else "")
        for name, number in has.most_common(MAX_PEOPLE)
    ]
    return [f"Open: {counted(len(open_ones), 'defect')} ({', '.join(holders)})"]


def _taps(
    open_ones: Sequence[Defect], late: Sequence[Due], today: bool, period: Period
) -> tuple[str, ...]:
    """Buttons to assign what is unassigned, and for the most urgent items, the longest-waiting
    door, and the person who is late.
    """
    grave = [
        each for each in open_ones if each.severity is Severity.ACT_NOW or each.late(period.last)
    ]
    taps = [
        buttons.defect(each.id) if each.given_to else buttons.give_whom(each.id)
        for each in grave[:MAX_ACT_NOW]
    ]
    taps += [buttons.CLOCK_IS_RIGHT] if period.clock else []
    taps += [buttons.show_door(late[0].door.number)] if late else []
    taps += [buttons.WHAT_IS_DUE] if late or today else []
    taps += [buttons.WHO_IS_LATE] if late or open_ones else []
    return tuple(taps[:MAX_TAPS])
