"""What makes a repair count: who did it, what shows it, by when, and who looked at it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from followed_defects import DAY, HERE, check, grave, made_good, now, only

from doorround.domain.defects import DeedKind, State
from doorround.domain.findings import Verdict
from doorround.domain.judging.severity import Targets
from doorround.domain.repairs import doer
from doorround.domain.schedule.repair_looks import looks
from doorround.logbook.defect_deeds import act, call_fit
from doorround.logbook.errors import LogbookError
from doorround.logbook.listing import show_lines
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        for name, role in (("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-4))
        yield logbook


@pytest.mark.parametrize(
    ("person", "how", "more", "why_not"),
    [
        (
            "nobody",
            "seals replaced",
            {"no_photo": "dark"},
            "Nobody called nobody is known. Known are Sam, Mona",
        ),
        ("", "seals replaced", {"no_photo": "dark"}, "Say who does it"),
        ("Sam", "done", {"no_photo": "too dark"}, "Say what was done"),
        ("Sam", "it is fixed now", {"evidence": "ab" * 32}, "Say what was done"),
        ("Sam", "seals replaced", {}, "Give a photo of it, or say why"),
    ],
)
def test_a_repair_names_who_what_and_shows_it(
    logbook: Logbook, person: str, how: str, more: dict[str, str], why_not: str
) -> None:
    check(logbook, 0, visit.PAINTED)
    with pytest.raises(LogbookError, match=why_not):
        act(logbook, only(logbook), DeedKind.MADE_GOOD, person, visit.at(DAY), how, **more)  # type: ignore[arg-type]
    assert only(logbook).state is State.OPEN


def test_a_repair_of_a_door_out_of_action_waits_until_somebody_has_looked(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    grave(monkeypatch, Verdict.ACT_NOW)
    check(logbook, 0, visit.PAINTED)
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "hale joinery : Jo",
        visit.at(DAY),
        "seals replaced",
        no_photo="dark",
    )
    assert only(logbook).ended_by == "hale joinery: Jo"
    with pytest.raises(LogbookError, match="repaired, not looked at yet"):
        call_fit(logbook, visit.door(), "looks fine", "Sam", visit.at(DAY), Targets())
    with pytest.raises(LogbookError, match="Nobody called Kim"):
        act(logbook, only(logbook), DeedKind.LOOKED_AT, "Kim", visit.at(DAY))
    assert now(logbook).to_be_looked_at == ["14"] and list(now(logbook).out) == [HERE]
    act(logbook, only(logbook), DeedKind.LOOKED_AT, "Sam", visit.at(DAY + 1))
    assert (only(logbook).state, now(logbook).out, now(logbook).to_be_looked_at) == (
        State.CLOSED,
        {},
        [],
    )
    assert logbook.verify() == []


def test_the_same_person_may_look_and_the_entry_says_so(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    made_good(logbook, "Sam", 1)
    act(logbook, only(logbook), DeedKind.LOOKED_AT, "Sam", visit.at(2 * DAY))
    assert only(logbook).state is State.CLOSED and only(logbook).deeds[-1].same
    assert "by the one who made it good" in " ".join(
        " ".join(show_lines(logbook, width=200)).split()
    )


@pytest.mark.parametrize(("severity", "days"), [(Verdict.ACT_NOW, 2), (Verdict.DEFECT, 7)])
def test_a_repair_is_looked_at_within_days(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch, severity: Verdict, days: int
) -> None:
    """Two days where it was to be acted on now, seven where soon: the defaults."""
    grave(monkeypatch, severity)
    check(logbook, 0, visit.PAINTED)
    made_good(logbook, "Sam", 1)
    look_by = date(2026, 3, 3) + timedelta(days=days)
    assert only(logbook).look_by == look_by
    [look] = looks(now(logbook).all.values(), look_by + timedelta(days=1))
    assert (look.on, look.days_late, look.parts) == (look_by, 1, ("seals",))
    act(logbook, only(logbook), DeedKind.REOPENED, "Mona", visit.at(3 * DAY), "still painted")
    assert only(logbook).look_by is None and looks(now(logbook).all.values(), look_by) == []


def test_a_date_is_neither_past_nor_later_than_the_rule_without_a_reason(logbook: Logbook) -> None:
    """Found on Monday the 2nd, to be dealt with soon: by the 9th."""
    check(logbook, 0, visit.PAINTED)

    def give(by: date, why: str = "") -> None:
        act(
            logbook,
            only(logbook),
            DeedKind.ASSIGNED,
            "Mona",
            visit.at(DAY),
            to="Sam",
            by=by,
            why=why,
        )

    with pytest.raises(LogbookError, match="2026-03-02 is past"):
        give(date(2026, 3, 2))
    with pytest.raises(LogbookError, match="by 2026-03-09: it is “soon”"):
        give(date(2026, 3, 20))
    give(date(2026, 3, 9))
    assert not only(logbook).put_off
    give(date(2026, 3, 20), "the part is ordered")
    assert only(logbook).put_off and only(logbook).deeds[-1].why == "the part is ordered"
    day = date(2026, 3, 12)
    assert (only(logbook).late(day), only(logbook).late_by_rule(day)) == (0, 3)


@pytest.mark.parametrize(
    "name",
    [
        "Kim: done",
        "ＫＩＭ: done",
        "kim : Jo",
        "Hale Joinery: done",
        "Hale Joinery: yes",
        "Hale Joinery: it is fixed",
        "Hale Joinery: ok",
        "https: //repairs",
        "12: 34",
        "!!: ??",
        "--: --",
        "a: b",
        "Hale Joinery: 42",
        "Hale Joinery: ",
        ": Jo",
        "yes: no",
        "unknown: unknown",
        "Hale: Joinery: Jo",
    ],
)
def test_what_names_no_firm_and_nobody_is_no_contractor(name: str) -> None:
    assert doer(name, ["Kim", "Mona"]) is None


@pytest.mark.parametrize(
    ("name", "entered"),
    [
        ("Hale Joinery: Jo", "Hale Joinery: Jo"),
        ("  Hale   Joinery :  Jo  Ng ", "Hale Joinery: Jo Ng"),
        ("3H Doors: Müller", "3H Doors: Müller"),
        ("門工房: 佐藤", "門工房: 佐藤"),
        ("hale joinery: JO", "Hale Joinery: Jo"),
        ("ｋｉｍ", "Kim"),
    ],
)
def test_a_firm_and_a_name_are_a_contractor_and_who_is_known_is_known_however_it_is_written(
    name: str, entered: str
) -> None:
    known = (
        ["Kim", "Hale Joinery: Jo"] if name.casefold().startswith("hale joinery: j") else ["Kim"]
    )
    assert doer(name, known) == entered


def test_somebody_from_outside_who_looked_says_what_was_seen(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(9),
        "strip replaced",
        no_photo="dark",
    )
    with pytest.raises(LogbookError, match="say what was seen"):
        act(logbook, only(logbook), DeedKind.LOOKED_AT, "ab: cd", visit.at(DAY))
    assert only(logbook).state is State.MADE_GOOD
    act(logbook, only(logbook), DeedKind.LOOKED_AT, "ab: cd", visit.at(DAY), "new strip, all round")
    assert only(logbook).state is State.CLOSED
