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
def book(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as book:
        book.add_door(visit.door(), "Mona", visit.at(-5))
        for name, role in (("Sam", "caretaker"), ("Mona", "supervisor")):
            book.add_person(name, role, visit.at(-4))
        yield book


def check(
    book: Logbook,
    day: int,
    seals: Value | None = None,
    end: Stage | None = Stage.SIGNED,
    door: Door | None = None,
) -> None:
    """One check of door 14 on the so-many-th day after 2 March."""
    turn = visit.start(door or visit.door(), id=f"c{day}", minute=day * DAY)
    book.begin("chat", turn)
    turn = visit.answer(turn.check, "hinges.count", visit.THREE, day * DAY + 1)
    book.keep("chat", None, turn)
    if seals is not None:
        turn = visit.answer(turn.check, "seals", seals, day * DAY + 2)
        book.keep("chat", None, turn)
    if end is not None:
        book.keep("chat", None, visit.close(turn.check, day * DAY + 3, end))


def now(book: Logbook, day: int | None = None) -> Defects:
    return read_defects(
        book, Targets(), None if day is None else date(2026, 3, 2) + timedelta(days=day)
    )


def only(book: Logbook, day: int | None = None) -> Defect:
    [defect] = now(book, day).all.values()
    return defect


def test_a_finding_opens_a_defect_with_a_date_by_its_severity(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    defect = only(book)
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


def test_it_is_given_to_somebody_and_made_good_with_evidence(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    act(book, only(book), DeedKind.ASSIGNED, "Mona", visit.at(DAY), to="Sam", by=date(2026, 3, 5))
    assert (only(book).given_to, only(book).due) == ("Sam", date(2026, 3, 5))
    act(book, only(book), DeedKind.MEASURE, "Mona", visit.at(DAY + 1), "a watch is kept")
    act(
        book,
        only(book),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(2 * DAY),
        "seals replaced",
        evidence="ab" * 32,
    )
    defect = only(book)
    assert (defect.state, defect.ended, defect.ended_by, defect.measures) == (
        State.MADE_GOOD,
        date(2026, 3, 4),
        "Sam",
        ("a watch is kept",),
    )
    assert defect.deeds[-1].evidence == "ab" * 32
    assert only(book, 1).state is State.OPEN, "as it stood the day before"
    check(book, 3, visit.SOUND)
    assert (only(book).state, only(book).ended) == (State.CLOSED, date(2026, 3, 4))
    with pytest.raises(LogbookError, match="closed already, by Sam"):
        act(book, only(book), DeedKind.NOTED, "Sam", visit.at(4 * DAY), "late")
    assert book.verify() == []


def test_seen_again_it_opens_again_under_its_old_number(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    first = only(book)
    act(book, first, DeedKind.MADE_GOOD, "Sam", visit.at(DAY), "scraped", no_photo="too dark")
    check(book, 7, visit.PAINTED)
    again = only(book)
    assert (again.id, again.state, again.reopened, again.first, again.due) == (
        first.id,
        State.OPEN,
        1,
        date(2026, 3, 2),
        date(2026, 3, 16),
    )
    check(book, 8, visit.SOUND)
    check(book, 9, visit.PAINTED)
    assert (only(book).reopened, only(book).times) == (2, 3)


def test_seen_again_while_open_it_keeps_its_date(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    check(book, 5, visit.PAINTED)
    assert (only(book).due, only(book).times, only(book).last) == (
        date(2026, 3, 9),
        2,
        date(2026, 3, 7),
    )


@pytest.mark.parametrize("seals", [None, CannotCheck(reason="obstructed")])
def test_a_check_that_did_not_look_closes_nothing(book: Logbook, seals: Value | None) -> None:
    check(book, 0, visit.PAINTED)
    check(book, 7, seals)
    assert only(book).state is State.OPEN


def test_a_check_that_looked_and_found_it_sound_closes_it(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    check(book, 7, visit.SOUND)
    assert (only(book).state, only(book).ended_by) == (State.CLOSED, "Ines, seen sound")


def test_a_corrected_answer_opens_nothing(book: Logbook) -> None:
    turn = visit.start(visit.door())
    book.begin("chat", turn)
    for value in (visit.PAINTED, visit.SOUND):
        turn = visit.answer(turn.check, "seals", value, 1)
        book.keep("chat", None, turn)
    book.keep("chat", None, visit.close(turn.check, 2))
    assert now(book).all == {}


@pytest.mark.parametrize(
    ("verdict", "end", "found"),
    [
        (Verdict.DEFECT, None, 1),
        (Verdict.DEFECT, Stage.CANCELLED, 0),
        (Verdict.ACT_NOW, Stage.CANCELLED, 1),
    ],
)
def test_what_was_found_in_a_check_that_nobody_signed(
    book: Logbook, monkeypatch: pytest.MonkeyPatch, verdict: Verdict, end: Stage | None, found: int
) -> None:
    _grave(monkeypatch, verdict)
    check(book, 0, visit.PAINTED, end)
    assert len(now(book).open) == found


def _grave(monkeypatch: pytest.MonkeyPatch, verdict: Verdict, made_good: bool = False) -> None:
    before = visit._findings

    def found(said: object) -> tuple[Finding, ...]:
        more = {"verdict": verdict, "severity": None, "made_good": made_good}
        return tuple(Finding.model_validate({**each.model_dump(), **more}) for each in before(said))  # type: ignore[arg-type]

    monkeypatch.setattr(visit, "_findings", found)


def test_put_right_on_the_spot_it_is_kept_and_closed(
    book: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    _grave(monkeypatch, Verdict.DEFECT, made_good=True)
    check(book, 0, visit.PAINTED)
    assert (only(book).state, only(book).ended_by) == (State.CLOSED, "Ines, on the spot")


def test_a_door_to_be_acted_on_now_is_out_of_action_until_the_repair_was_looked_at(
    book: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    _grave(monkeypatch, Verdict.ACT_NOW)
    check(book, 0, visit.PAINTED)
    assert now(book).out == {HERE: "seals painted over"}
    with pytest.raises(LogbookError, match="Make that good first"):
        call_fit(book, visit.door(), "looks fine", "Mona", visit.at(DAY), Targets())
    act(book, only(book), DeedKind.MADE_GOOD, "Sam", visit.at(DAY), "replaced", no_photo="too dark")
    assert now(book).out == {HERE: "seals painted over: repaired, not looked at yet"}
    assert now(book, 0).out == {HERE: "seals painted over"}
    check(book, 2, visit.SOUND)
    assert now(book).out == {}


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
    book: Logbook, person: str, how: str, more: dict[str, str], why_not: str
) -> None:
    check(book, 0, visit.PAINTED)
    with pytest.raises(LogbookError, match=why_not):
        act(book, only(book), DeedKind.MADE_GOOD, person, visit.at(DAY), how, **more)  # type: ignore[arg-type]
    assert only(book).state is State.OPEN


def test_a_repair_of_a_door_out_of_action_waits_until_somebody_has_looked(
    book: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    _grave(monkeypatch, Verdict.ACT_NOW)
    check(book, 0, visit.PAINTED)
    act(
        book,
        only(book),
        DeedKind.MADE_GOOD,
        "hale joinery : Jo",
        visit.at(DAY),
        "seals replaced",
        no_photo="dark",
    )
    assert only(book).ended_by == "hale joinery: Jo"
    with pytest.raises(LogbookError, match="repaired, not looked at yet"):
        call_fit(book, visit.door(), "looks fine", "Sam", visit.at(DAY), Targets())
    with pytest.raises(LogbookError, match="Nobody called Kim"):
        act(book, only(book), DeedKind.LOOKED_AT, "Kim", visit.at(DAY))
    assert now(book).to_be_looked_at == ["14"] and list(now(book).out) == [HERE]
    act(book, only(book), DeedKind.LOOKED_AT, "Sam", visit.at(DAY + 1))
    assert (only(book).state, now(book).out, now(book).to_be_looked_at) == (State.CLOSED, {}, [])
    assert book.verify() == []


@pytest.mark.parametrize("looked", [False, True])
def test_a_wrong_close_is_taken_back(book: Logbook, looked: bool) -> None:
    check(book, 0, visit.PAINTED)
    act(book, only(book), DeedKind.ASSIGNED, "Mona", visit.at(DAY), to="Sam", by=date(2026, 3, 5))
    with pytest.raises(LogbookError, match="is open already"):
        act(book, only(book), DeedKind.REOPENED, "Mona", visit.at(DAY), "wrong number")
    act(
        book,
        only(book),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(DAY),
        "seals replaced",
        no_photo="too dark",
    )
    if looked:
        check(book, 2, visit.SOUND)
    with pytest.raises(LogbookError, match="Say why"):
        act(book, only(book), DeedKind.REOPENED, "Mona", visit.at(3 * DAY))
    act(book, only(book), DeedKind.REOPENED, "Mona", visit.at(3 * DAY), "of another door")
    again = only(book)
    assert (again.state, again.due, again.given_to, again.ended, again.reopened) == (
        State.OPEN,
        date(2026, 3, 5),
        "Sam",
        None,
        1,
    )


def test_somebody_puts_a_door_out_of_action_and_calls_it_fit_again(book: Logbook) -> None:
    put_out(book, visit.door(), "leaf taken off", "Mona", visit.at(0))
    assert now(book).out == {HERE: "leaf taken off"}
    call_fit(book, visit.door(), "hung again", "Mona", visit.at(DAY), Targets())
    assert now(book).out == {}
    with pytest.raises(LogbookError, match="is not out of action"):
        call_fit(book, visit.door(), "again", "Mona", visit.at(DAY), Targets())


def test_of_one_door_only_its_own(book: Logbook) -> None:
    book.add_door(visit.door("15"), "Mona", visit.at(-5))
    check(book, 0, visit.PAINTED)
    check(book, 1, visit.PAINTED, door=visit.door("15"))
    assert [each.door[2] for each in read_defects(book, Targets(), door=visit.door("15")).open] == [
        "15"
    ]
    assert [each.door[2] for each in by_urgency(now(book).open)] == ["14", "15"]


# ---- its number stays


def amended(
    book: Logbook, *values: Value, orders: tuple[int, DeedKind] | None = None
) -> Defect | None:
    """One check that answers the same question again and again. orders: a deed after the so-many-th
    answer. Signed.
    """
    turn = visit.start(visit.door())
    book.begin("chat", turn)
    for nth, value in enumerate(values):
        turn = visit.answer(turn.check, "seals", value, 10 * nth + 1)
        book.keep("chat", None, turn)
        if orders and orders[0] == nth:
            [told] = now(book).open
            more = (
                {"text": "seals replaced", "no_photo": "too dark"}
                if orders[1] is DeedKind.MADE_GOOD
                else {}
            )
            act(book, told, orders[1], "Mona", visit.at(10 * nth + 2), to="Sam", **more)  # type: ignore[arg-type]
    number = min((*now(book).all, *now(book).gone))
    book.keep("chat", None, visit.close(turn.check, 60))
    assert min((*now(book).all, *now(book).gone)) == number, "signing changes no number"
    return now(book).called(number)


def test_what_was_ordered_before_the_signature_outlives_it(book: Logbook) -> None:
    given = amended(book, visit.PAINTED, orders=(0, DeedKind.ASSIGNED))
    assert given is not None and (given.given_to, given.given, given.state) == (
        "Sam",
        True,
        State.OPEN,
    )
    assert [deed.kind for deed in given.deeds] == [DeedKind.ASSIGNED]


def test_what_was_made_good_before_the_signature_stays_so(book: Logbook) -> None:
    mended = amended(book, visit.PAINTED, orders=(0, DeedKind.MADE_GOOD))
    assert mended is not None and (mended.state, mended.ended_by) == (State.MADE_GOOD, "Mona")


def test_corrected_and_found_again_it_keeps_number_orders_and_the_time_of_finding(
    book: Logbook,
) -> None:
    given = amended(book, visit.PAINTED, visit.SOUND, visit.PAINTED, orders=(0, DeedKind.ASSIGNED))
    assert given is not None and given.id in now(book).all and given.given_to == "Sam"
    assert given.seen_at == visit.at(21) and len(now(book).all) == 1 and now(book).gone == {}


def test_what_was_taken_back_says_what_became_of_it(book: Logbook) -> None:
    gone = amended(book, visit.PAINTED, visit.SOUND, orders=(0, DeedKind.ASSIGNED))
    assert gone is not None and (gone.state, gone.ended_by) == (State.CLOSED, "Ines, taken back")
    assert now(book).all == {} and len(now(book).gone) == 1


def test_a_check_signed_between_finding_and_signature_of_another_leaves_it_open(
    book: Logbook,
) -> None:
    turn = visit.start(visit.door(), id="slow")
    book.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
    book.keep("chat", None, turn)
    quick = visit.start(visit.door(), id="quick", person="Sam", minute=2)
    book.begin("other", quick)
    quick = visit.answer(quick.check, "seals", visit.SOUND, 3)
    book.keep("other", None, quick)
    book.keep("other", None, visit.close(quick.check, 4))
    book.keep("chat", None, visit.close(turn.check, 5))
    assert only(book).state is State.OPEN


def test_the_same_person_may_look_and_the_entry_says_so(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    made_good(book, "Sam", 1)
    act(book, only(book), DeedKind.LOOKED_AT, "Sam", visit.at(2 * DAY))
    assert only(book).state is State.CLOSED and only(book).deeds[-1].same
    assert "by the one who made it good" in " ".join(" ".join(show_lines(book, width=200)).split())


def made_good(book: Logbook, who: str, day: int) -> None:
    at = visit.at(day * DAY)
    act(book, only(book), DeedKind.MADE_GOOD, who, at, "seals replaced", no_photo="too dark")


@pytest.mark.parametrize(("severity", "days"), [(Verdict.ACT_NOW, 2), (Verdict.DEFECT, 7)])
def test_a_repair_is_looked_at_within_days(
    book: Logbook, monkeypatch: pytest.MonkeyPatch, severity: Verdict, days: int
) -> None:
    """Two days where it was to be acted on now, seven where soon: the defaults."""
    _grave(monkeypatch, severity)
    check(book, 0, visit.PAINTED)
    made_good(book, "Sam", 1)
    look_by = date(2026, 3, 3) + timedelta(days=days)
    assert only(book).look_by == look_by
    [look] = looks(now(book).all.values(), look_by + timedelta(days=1))
    assert (look.on, look.days_late, look.parts) == (look_by, 1, ("seals",))
    act(book, only(book), DeedKind.REOPENED, "Mona", visit.at(3 * DAY), "still painted")
    assert only(book).look_by is None and looks(now(book).all.values(), look_by) == []


def test_a_date_is_neither_past_nor_later_than_the_rule_without_a_reason(book: Logbook) -> None:
    """Found on Monday the 2nd, to be dealt with soon: by the 9th."""
    check(book, 0, visit.PAINTED)

    def give(by: date, why: str = "") -> None:
        act(book, only(book), DeedKind.ASSIGNED, "Mona", visit.at(DAY), to="Sam", by=by, why=why)

    with pytest.raises(LogbookError, match="2026-03-02 is past"):
        give(date(2026, 3, 2))
    with pytest.raises(LogbookError, match="by 2026-03-09: it is “soon”"):
        give(date(2026, 3, 20))
    give(date(2026, 3, 9))
    assert not only(book).put_off
    give(date(2026, 3, 20), "the part is ordered")
    assert only(book).put_off and only(book).deeds[-1].why == "the part is ordered"
    day = date(2026, 3, 12)
    assert (only(book).late(day), only(book).late_by_rule(day)) == (0, 3)


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


def test_somebody_from_outside_who_looked_says_what_was_seen(book: Logbook) -> None:
    check(book, 0, visit.PAINTED)
    act(book, only(book), DeedKind.MADE_GOOD, "Sam", visit.at(9), "strip replaced", no_photo="dark")
    with pytest.raises(LogbookError, match="say what was seen"):
        act(book, only(book), DeedKind.LOOKED_AT, "ab: cd", visit.at(DAY))
    assert only(book).state is State.MADE_GOOD
    act(book, only(book), DeedKind.LOOKED_AT, "ab: cd", visit.at(DAY), "new strip, all round")
    assert only(book).state is State.CLOSED
