"""A supervisor's summary: a message to be read in ten seconds, and the figures of its picture.

Pure; days are local.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from doorround.domain.defects import Defect, Moving, State, by_urgency
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorId, Due, When
from doorround.domain.schedule.nudges import count

MAX_ACT_NOW = 3
MAX_PEOPLE = 4
MAX_TAPS = 6


@dataclass(frozen=True)
class Visit:
    """One signed visit, or a refusal of access. seen: it counts as a check. doubted: signed by a
    clock in doubt.
    """

    day: date
    door: DoorId
    person: str
    seen: bool
    doubted: bool = False


@dataclass(frozen=True)
class Span:
    """What happened from one day to another, and how things stand at the end of the last. name:
    "Tuesday 3 March".

    trend: earlier spans and this one, oldest first, for the picture and for what has become better
    or worse. since: of what was entered after that entry, instead of in those days. clock: why the
    clock is in doubt; "" where it is not.
    """

    name: str
    first: date
    last: date
    due: Sequence[Due]
    visits: Sequence[Visit]
    defects: Sequence[Defect]
    out: Mapping[DoorId, str] = field(default_factory=dict)
    doors: int = 0
    trend: Sequence[Trend] = ()
    since: int | None = None
    clock: str = ""

    def moved(self, what: Moving) -> int:
        """How many defects came, ended or came again in it."""
        if self.since is not None:
            return sum(
                move.what is what and move.seq > self.since
                for each in self.defects
                for move in each.moves
            )
        return sum(
            move.what is what and self.first <= move.day <= self.last
            for each in self.defects
            for move in each.moves
        )


@dataclass(frozen=True)
class Trend:
    """One step of a trend. name: "3 Mar". checks: in it; overdue, open: doors and defects at its
    end.
    """

    name: str
    checks: int
    overdue: int
    open: int


@dataclass(frozen=True)
class Summary:
    """text: the message. taps: what leads on, as typed. silent: nothing happened and nothing is to
    be done.
    """

    text: str
    taps: tuple[str, ...] = ()
    silent: bool = False


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
    lines += [*_better_or_worse(span), *_holders(open_ones, span.last)]
    # a phone shows the first line alone before the message is opened
    return Summary("\n".join([*grave, span.name, *lines]), _taps(open_ones, overdue, today, span))


def _clock(span: Span) -> list[str]:
    doubted = sum(each.doubted for each in span.visits)
    if not (span.clock or doubted):
        return []
    moved = f"; {count(doubted, 'check')} moved no due date" if doubted else ""
    return [f"⚠️ Clock in doubt: {span.clock or 'it is plausible again'}{moved}"]


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
            f"Overdue: {count(len(overdue), 'door')}, {worst.door.number} by"
            f" {count(worst.days_late, 'day')}"
        )
    if today:
        lines.append(f"Due today, not done: {count(len(today), 'door')}")
    return lines


def _done(span: Span) -> list[str]:
    by = Counter(each.person for each in span.visits if each.seen)
    missed = sum(not each.seen for each in span.visits)
    lines = []
    if by:
        names = [f"{name} {number}" for name, number in by.most_common(MAX_PEOPLE)]
        rest = len(by) - MAX_PEOPLE
        names += [f"{rest} more"] if rest > 0 else []
        lines.append(f"Done: {count(sum(by.values()), 'check')} ({', '.join(names)})")
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
    taps = [f"defect {each.id}" for each in grave[:MAX_ACT_NOW]]
    taps += ["the clock is right"] if span.clock else []
    if overdue:
        taps.append(f"show door {max(overdue, key=lambda each: each.days_late).door.number}")
    if overdue or today:
        taps.append("what is due")
    if overdue or open_ones:
        taps.append("who is late")
    return tuple(taps[:MAX_TAPS])


def figures_of(span: Span) -> dict[str, object]:
    """What the picture shows, as plain data that fits beside the message in the outbox."""
    open_ones = [each for each in span.defects if each.state is State.OPEN]
    overdue = sum(each.when is When.OVERDUE for each in span.due)
    today = sum(each.when is When.TODAY for each in span.due)
    return {
        "name": span.name,
        "doors": {
            "overdue": overdue,
            "due today": today,
            "in time": max(0, span.doors - overdue - today),
        },
        "defects": {
            severity.value: [
                sum(each.severity is severity for each in open_ones),
                sum(each.severity is severity and each.late(span.last) > 0 for each in open_ones),
            ]
            for severity in sorted(Severity, key=lambda each: -each.rank)
        },
        "trend": [[each.name, each.checks, each.overdue, each.open] for each in span.trend],
    }
