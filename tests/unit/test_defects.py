"""A defect lives from the check that finds it until it is made good, and opens again when it is
seen again.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
import small_visit as visit

from doorround.domain.check import Stage
from doorround.domain.defects import DeedKind, Defect, State, by_urgency
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.repairs import doer
from doorround.domain.schedule.repair_looks import looks
from doorround.domain.values import CannotCheck, Value
from doorround.logbook.defect_deeds import act, call_fit, put_out
from doorround.logbook.defects import Defects, read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.listing import show_lines
from doorround.logbook.store import Logbook

DAY = 1440
HERE = ("Alder House", "East", "14")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        for name, role in (("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-4))
        yield logbook


def check(
    logbook: Logbook,
    day: int,
    seals: Value | None = None,
    end: Stage | None = Stage.SIGNED,
    door: Door | None = None,
) -> None:
    """One check of door 14 on the so-many-th day after 2 March."""
    turn = visit.start(door or visit.door(), id=f"c{day}", minute=day * DAY)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "hinges.count", visit.THREE, day * DAY + 1)
    logbook.keep("chat", None, turn)
    if seals is not None:
        turn = visit.answer(turn.check, "seals", seals, day * DAY + 2)
        logbook.keep("chat", None, turn)
    if end is not None:
        logbook.keep("chat", None, visit.close(turn.check, day * DAY + 3, end))


def now(logbook: Logbook, day: int | None = None) -> Defects:
    return read_defects(
        logbook, Targets(), None if day is None else date(2026, 3, 2) + timedelta(days=day)
    )


def only(logbook: Logbook, day: int | None = None) -> Defect:
    [defect] = now(logbook, day).all.values()
    return defect


def test_a_finding_opens_a_defect_with_a_date_by_its_severity(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    defect = only(logbook)
    assert (defect.state, defect.severity, defect.first, defect.due) == (
        State.OPEN,
        Severity.SOON,
        date(2026, 3, 2),
        date(2026, 3, 9),
    )
    assert defect.finding.what == "seals painted over"
    assert (
        defect.late(date(2026, 3, 9)),
        defect.late(date(2026, 3, 12)),
        defect.age(date(2026, 3, 12)),
    ) == (0, 3, 10)


def test_it_is_given_to_somebody_and_made_good_with_evidence(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    act(
        logbook,
        only(logbook),
        DeedKind.ASSIGNED,
        "Mona",
        visit.at(DAY),
        to="Sam",
        by=date(2026, 3, 5),
    )
    assert (only(logbook).given_to, only(logbook).due) == ("Sam", date(2026, 3, 5))
    act(logbook, only(logbook), DeedKind.MEASURE, "Mona", visit.at(DAY + 1), "a watch is kept")
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(2 * DAY),
        "seals replaced",
        evidence="ab" * 32,
    )
    defect = only(logbook)
    assert (defect.state, defect.ended, defect.ended_by, defect.measures) == (
        State.MADE_GOOD,
        date(2026, 3, 4),
        "Sam",
        ("a watch is kept",),
    )
    assert defect.deeds[-1].evidence == "ab" * 32
    assert only(logbook, 1).state is State.OPEN, "as it stood the day before"
    check(logbook, 3, visit.SOUND)
    assert (only(logbook).state, only(logbook).ended) == (State.CLOSED, date(2026, 3, 4))
    with pytest.raises(LogbookError, match="closed already, by Sam"):
        act(logbook, only(logbook), DeedKind.NOTED, "Sam", visit.at(4 * DAY), "late")
    assert logbook.verify() == []


def test_seen_again_it_opens_again_under_its_old_number(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    first = only(logbook)
    act(logbook, first, DeedKind.MADE_GOOD, "Sam", visit.at(DAY), "scraped", no_photo="too dark")
    check(logbook, 7, visit.PAINTED)
    again = only(logbook)
    assert (again.id, again.state, again.reopened, again.first, again.due) == (
        first.id,
        State.OPEN,
        1,
        date(2026, 3, 2),
        date(2026, 3, 16),
    )
    check(logbook, 8, visit.SOUND)
    check(logbook, 9, visit.PAINTED)
    assert (only(logbook).reopened, only(logbook).times) == (2, 3)


def test_seen_again_while_open_it_keeps_its_date(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 5, visit.PAINTED)
    assert (only(logbook).due, only(logbook).times, only(logbook).last) == (
        date(2026, 3, 9),
        2,
        date(2026, 3, 7),
    )


@pytest.mark.parametrize("seals", [None, CannotCheck(reason="obstructed")])
def test_a_check_that_did_not_look_closes_nothing(logbook: Logbook, seals: Value | None) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 7, seals)
    assert only(logbook).state is State.OPEN


def test_a_check_that_looked_and_found_it_sound_closes_it(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 7, visit.SOUND)
    assert (only(logbook).state, only(logbook).ended_by) == (State.CLOSED, "Ines, seen sound")


def test_a_corrected_answer_opens_nothing(logbook: Logbook) -> None:
    turn = visit.start(visit.door())
    logbook.begin("chat", turn)
    for value in (visit.PAINTED, visit.SOUND):
        turn = visit.answer(turn.check, "seals", value, 1)
        logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, 2))
    assert now(logbook).all == {}


@pytest.mark.parametrize(
    ("verdict", "end", "found"),
    [
        (Verdict.DEFECT, None, 1),
        (Verdict.DEFECT, Stage.CANCELLED, 0),
        (Verdict.ACT_NOW, Stage.CANCELLED, 1),
    ],
)
def test_what_was_found_in_a_check_that_nobody_signed(
    logbook: Logbook,
    monkeypatch: pytest.MonkeyPatch,
    verdict: Verdict,
    end: Stage | None,
    found: int,
) -> None:
    _grave(monkeypatch, verdict)
    check(logbook, 0, visit.PAINTED, end)
    assert len(now(logbook).open) == found


def _grave(monkeypatch: pytest.MonkeyPatch, verdict: Verdict, made_good: bool = False) -> None:
    before = visit._findings

    def found(said: object) -> tuple[Finding, ...]:
        more = {"verdict": verdict, "severity": None, "made_good": made_good}
        return tuple(Finding.model_validate({**each.model_dump(), **more}) for each in before(said))  # type: ignore[arg-type]

    monkeypatch.setattr(visit, "_findings", found)


def test_put_right_on_the_spot_it_is_kept_and_closed(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    _grave(monkeypatch, Verdict.DEFECT, made_good=True)
    check(logbook, 0, visit.PAINTED)
    assert (only(logbook).state, only(logbook).ended_by) == (State.CLOSED, "Ines, on the spot")


def test_a_door_to_be_acted_on_now_is_out_of_action_until_the_repair_was_looked_at(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    _grave(monkeypatch, Verdict.ACT_NOW)
    check(logbook, 0, visit.PAINTED)
    assert now(logbook).out == {HERE: "seals painted over"}
    with pytest.raises(LogbookError, match="Make that good first"):
        call_fit(logbook, visit.door(), "looks fine", "Mona", visit.at(DAY), Targets())
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(DAY),
        "replaced",
        no_photo="too dark",
    )
    assert now(logbook).out == {HERE: "seals painted over: repaired, not looked at yet"}
    assert now(logbook, 0).out == {HERE: "seals painted over"}
    check(logbook, 2, visit.SOUND)
    assert now(logbook).out == {}


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
    _grave(monkeypatch, Verdict.ACT_NOW)
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


@pytest.mark.parametrize("looked", [False, True])
def test_a_wrong_close_is_taken_back(logbook: Logbook, looked: bool) -> None:
    check(logbook, 0, visit.PAINTED)
    act(
        logbook,
        only(logbook),
        DeedKind.ASSIGNED,
        "Mona",
        visit.at(DAY),
        to="Sam",
        by=date(2026, 3, 5),
    )
    with pytest.raises(LogbookError, match="is open already"):
        act(logbook, only(logbook), DeedKind.REOPENED, "Mona", visit.at(DAY), "wrong number")
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(DAY),
        "seals replaced",
        no_photo="too dark",
    )
    if looked:
        check(logbook, 2, visit.SOUND)
    with pytest.raises(LogbookError, match="Say why"):
        act(logbook, only(logbook), DeedKind.REOPENED, "Mona", visit.at(3 * DAY))
    act(logbook, only(logbook), DeedKind.REOPENED, "Mona", visit.at(3 * DAY), "of another door")
    again = only(logbook)
    assert (again.state, again.due, again.given_to, again.ended, again.reopened) == (
        State.OPEN,
        date(2026, 3, 5),
        "Sam",
        None,
        1,
    )


def test_somebody_puts_a_door_out_of_action_and_calls_it_fit_again(logbook: Logbook) -> None:
    put_out(logbook, visit.door(), "leaf taken off", "Mona", visit.at(0))
    assert now(logbook).out == {HERE: "leaf taken off"}
    call_fit(logbook, visit.door(), "hung again", "Mona", visit.at(DAY), Targets())
    assert now(logbook).out == {}
    with pytest.raises(LogbookError, match="is not out of action"):
        call_fit(logbook, visit.door(), "again", "Mona", visit.at(DAY), Targets())


def test_of_one_door_only_its_own(logbook: Logbook) -> None:
    logbook.add_door(visit.door("15"), "Mona", visit.at(-5))
    check(logbook, 0, visit.PAINTED)
    check(logbook, 1, visit.PAINTED, door=visit.door("15"))
    assert [
        each.door[2] for each in read_defects(logbook, Targets(), door=visit.door("15")).open
    ] == ["15"]
    assert [each.door[2] for each in by_urgency(now(logbook).open)] == ["14", "15"]


# ---- its number stays


def amended(
    logbook: Logbook, *values: Value, orders: tuple[int, DeedKind] | None = None
) -> Defect | None:
    """One check that answers the same question again and again. orders: a deed after the so-many-th
    answer. Signed.
    """
    turn = visit.start(visit.door())
    logbook.begin("chat", turn)
    for nth, value in enumerate(values):
        turn = visit.answer(turn.check, "seals", value, 10 * nth + 1)
        logbook.keep("chat", None, turn)
        if orders and orders[0] == nth:
            [told] = now(logbook).open
            more = (
                {"text": "seals replaced", "no_photo": "too dark"}
                if orders[1] is DeedKind.MADE_GOOD
                else {}
            )
            act(logbook, told, orders[1], "Mona", visit.at(10 * nth + 2), to="Sam", **more)  # type: ignore[arg-type]
    number = min((*now(logbook).all, *now(logbook).gone))
    logbook.keep("chat", None, visit.close(turn.check, 60))
    assert min((*now(logbook).all, *now(logbook).gone)) == number, "signing changes no number"
    return now(logbook).called(number)


def test_what_was_ordered_before_the_signature_outlives_it(logbook: Logbook) -> None:
    given = amended(logbook, visit.PAINTED, orders=(0, DeedKind.ASSIGNED))
    assert given is not None and (given.given_to, given.given, given.state) == (
        "Sam",
        True,
        State.OPEN,
    )
    assert [deed.kind for deed in given.deeds] == [DeedKind.ASSIGNED]


def test_what_was_made_good_before_the_signature_stays_so(logbook: Logbook) -> None:
    mended = amended(logbook, visit.PAINTED, orders=(0, DeedKind.MADE_GOOD))
    assert mended is not None and (mended.state, mended.ended_by) == (State.MADE_GOOD, "Mona")


def test_corrected_and_found_again_it_keeps_number_orders_and_the_time_of_finding(
    logbook: Logbook,
) -> None:
    given = amended(
        logbook, visit.PAINTED, visit.SOUND, visit.PAINTED, orders=(0, DeedKind.ASSIGNED)
    )
    assert given is not None and given.id in now(logbook).all and given.given_to == "Sam"
    assert given.seen_at == visit.at(21) and len(now(logbook).all) == 1 and now(logbook).gone == {}


def test_what_was_taken_back_says_what_became_of_it(logbook: Logbook) -> None:
    gone = amended(logbook, visit.PAINTED, visit.SOUND, orders=(0, DeedKind.ASSIGNED))
    assert gone is not None and (gone.state, gone.ended_by) == (State.CLOSED, "Ines, taken back")
    assert now(logbook).all == {} and len(now(logbook).gone) == 1


def test_a_check_signed_between_finding_and_signature_of_another_leaves_it_open(
    logbook: Logbook,
) -> None:
    turn = visit.start(visit.door(), id="slow")
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
    logbook.keep("chat", None, turn)
    quick = visit.start(visit.door(), id="quick", person="Sam", minute=2)
    logbook.begin("other", quick)
    quick = visit.answer(quick.check, "seals", visit.SOUND, 3)
    logbook.keep("other", None, quick)
    logbook.keep("other", None, visit.close(quick.check, 4))
    logbook.keep("chat", None, visit.close(turn.check, 5))
    assert only(logbook).state is State.OPEN


def test_the_same_person_may_look_and_the_entry_says_so(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    made_good(logbook, "Sam", 1)
    act(logbook, only(logbook), DeedKind.LOOKED_AT, "Sam", visit.at(2 * DAY))
    assert only(logbook).state is State.CLOSED and only(logbook).deeds[-1].same
    assert "by the one who made it good" in " ".join(
        " ".join(show_lines(logbook, width=200)).split()
    )


def made_good(logbook: Logbook, who: str, day: int) -> None:
    at = visit.at(day * DAY)
    act(logbook, only(logbook), DeedKind.MADE_GOOD, who, at, "seals replaced", no_photo="too dark")


@pytest.mark.parametrize(("severity", "days"), [(Verdict.ACT_NOW, 2), (Verdict.DEFECT, 7)])
def test_a_repair_is_looked_at_within_days(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch, severity: Verdict, days: int
) -> None:
    """Two days where it was to be acted on now, seven where soon: the defaults."""
    _grave(monkeypatch, severity)
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
