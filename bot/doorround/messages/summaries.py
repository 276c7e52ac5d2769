"""Summaries: how things stand, told to a supervisor at the end of a day, a week or a month."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from doorround.domain.defects import Defect, Moving, State, by_urgency
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import Due, When
from doorround.domain.summary import Span
from doorround.messages import buttons
from doorround.messages.phrasing import counted

MAX_ACT_NOW = 3
MAX_PEOPLE = 4
MAX_TAPS = 6
CHECKS = "Checks"
DOORS_OVERDUE = "Doors overdue"


@dataclass(frozen=True)
class Summary:
    """text: the message. taps: what leads on, as typed. silent: nothing happened and nothing is to
    be done.
    """

    text: str
    taps: tuple[str, ...] = ()
    silent: bool = False


def day_name(day: date) -> str:
    """What a day's summary is named after."""
    return f"{day:%A} {_spoken(day)}"


def week_name(day: date) -> str:
    """What a week's summary is named after. day: its last so far."""
    return f"The week up to {day:%A} {_spoken(day)}"


def month_name(day: date) -> str:
    """What a month's summary is named after. day: its last so far."""
    return f"{day:%B} {day.year}, up to {_spoken(day)}"


def since(name: str, moment: str) -> str:
    """The name of a summary that goes on from the one before."""
    return f"{name}, since {moment}"


def moment(at: datetime, day: date) -> str:
    """When the summary before was: "Friday 16:30", or with its date where that is a week ago or
    more; of a day's beginning the day alone. at: local.
    """
    named = f"{at:%A}" if (day - at.date()).days < 7 else _spoken(at.date())
    return f"{named} {at:%H:%M}" if at.time() != time() else named


def _spoken(day: date) -> str:
    return f"{day.day} {day:%B}"


def summary_of(span: Span) -> Summary:
    """The message of a span: act now first, then overdue, done, new and closed defects, who has
    what.
    """
    open_ones = by_urgency(each for each in span.defects if each.state is State.OPEN)
    overdue = [each for each in span.due if each.when is When.OVERDUE]
    today = [each for each in span.due if each.when is When.TODAY]
    grave = [*_act_now(open_ones, span), *_clock(span)]
    lines = [*_overdue(overdue, today), *_done(span), *_moved(open_ones, span)]
    if not grave and not lines:
        return Summary(f"{span.name}: nothing due, nothing done, nothing wrong.", silent=True)
    lines += [*_better_or_worse(span), *_holders(open_ones, span.last), *_corrected(span)]
    # a phone shows the first line alone before the message is opened
    return Summary("\n".join([*grave, span.name, *lines]), _taps(open_ones, overdue, today, span))


def _clock(span: Span) -> list[str]:
    doubted = sum(each.doubted for each in span.visits)
    if not (span.clock or doubted):
        return []
    moved = f"; {counted(doubted, 'check')} moved no due date" if doubted else ""
    return [f"⚠️ Clock in doubt: {span.clock or 'it is plausible again'}{moved}"]


def _corrected(span: Span) -> list[str]:
    """What was entered since to correct what is said here."""
    return [
        f"Corrected since: {person}, {at.day} {at:%B %Y}: {what}"
        for at, person, what in span.corrected
    ]


def _act_now(open_ones: Sequence[Defect], span: Span) -> list[str]:
    grave = [each for each in open_ones if each.severity is Severity.ACT_NOW]
    lines = [
        f"⚠️ Act now: door {each.door[2]}, {each.what}"
        + ("" if each.given_to else ", nobody has it")
        for each in grave[:MAX_ACT_NOW]
    ]
    if len(grave) > MAX_ACT_NOW:
        lines.append(f"⚠️ And {len(grave) - MAX_ACT_NOW} more to act on now")
    waiting = {each.door for each in span.defects if each.out_of_action and not each.danger} - {
        each.door for each in grave
    }
    if waiting:
        lines.append(
            "Repaired, not looked at yet: door"
            f" {', '.join(number for _, _, number in sorted(waiting))}"
        )
    others = sorted(set(span.out) - {each.door for each in grave} - waiting)
    if others:
        lines.append(f"Out of action: door {', '.join(number for _, _, number in others)}")
    return lines


def _overdue(overdue: Sequence[Due], today: Sequence[Due]) -> list[str]:
    lines = []
    if overdue:
        worst = max(overdue, key=lambda each: each.days_late)
        lines.append(
            f"Overdue: {counted(len(overdue), 'door')}, {worst.door.number} by"
            f" {counted(worst.days_late, 'day')}"
        )
    if today:
        lines.append(f"Due today, not done: {counted(len(today), 'door')}")
    return lines


def _done(span: Span) -> list[str]:
    by = Counter(each.person for each in span.visits if each.seen)
    missed = sum(not each.seen for each in span.visits)
    lines = []
    if by:
        names = [f"{name} {number}" for name, number in by.most_common(MAX_PEOPLE)]
        rest = len(by) - MAX_PEOPLE
        names += [f"{rest} more"] if rest > 0 else []
        lines.append(f"Done: {counted(sum(by.values()), 'check')} ({', '.join(names)})")
    if missed:
        lines.append(f"Tried, most not seen: {missed}×")
    return lines


def _moved(open_ones: Sequence[Defect], span: Span) -> list[str]:
    new, again, ended = (span.moved(what) for what in (Moving.NEW, Moving.AGAIN, Moving.ENDED))
    if not (new or again or ended or open_ones):
        return []
    late = sum(each.late(span.last) > 0 for each in open_ones)
    back = f"{again} open again, " if again else ""
    return [
        f"Defects: {new} new, {back}{ended} made good, {len(open_ones)} open"
        + (f", {late} late" if late else "")
    ]


def _better_or_worse(span: Span) -> list[str]:
    """What has changed since the step before, in words; nothing where nothing has."""
    if len(span.trend) < 2:
        return []
    before, now = span.trend[-2:]
    told = [
        f"{what} {'up' if after > earlier else 'down'} from {earlier} to {after}"
        for what, earlier, after in (
            ("overdue", before.overdue, now.overdue),
            ("open defects", before.open, now.open),
            ("checks", before.checks, now.checks),
        )
        if after != earlier
    ]
    return [f"Since {before.name}: {', '.join(told)}"] if told else []


def _holders(open_ones: Sequence[Defect], today: date) -> list[str]:
    if not open_ones:
        return []
    has = Counter(each.given_to or "nobody" for each in open_ones)
    late = Counter(each.given_to or "nobody" for each in open_ones if each.late(today))
    told = [
        f"{name} {number}" + (f" ({late[name]} late)" if late[name] else "")
        for name, number in has.most_common(MAX_PEOPLE)
    ]
    return [f"Who has them: {', '.join(told)}"]


def _taps(
    open_ones: Sequence[Defect], overdue: Sequence[Due], today: Sequence[Due], span: Span
) -> tuple[str, ...]:
    """Buttons to the defects that cannot wait, the door that waits longest, whoever is late."""
    grave = [
        each for each in open_ones if each.severity is Severity.ACT_NOW or each.late(span.last)
    ]
    taps = [buttons.defect(each.id) for each in grave[:MAX_ACT_NOW]]
    taps += [buttons.CLOCK_IS_RIGHT] if span.clock else []
    if overdue:
        taps.append(buttons.show_door(max(overdue, key=lambda each: each.days_late).door.number))
    if overdue or today:
        taps.append(buttons.WHAT_IS_DUE)
    if overdue or open_ones:
        taps.append(buttons.WHO_IS_LATE)
    return tuple(taps[:MAX_TAPS])


def open_defects(count: int) -> str:
    """Above the bars of the picture."""
    return counted(count, "open defect")


def number_late(number: int, late: int) -> str:
    """Beside a bar of the picture: how many, and how many of them are late."""
    return f"{number}" + (f", {late} late" if late else "")
