"""What is found, ordered or closed, and taken back or corrected before or after the signature."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit
from followed_defects import DAY, check, now, only

from doorround.domain.defects import DeedKind, Defect, State
from doorround.domain.values import Value
from doorround.logbook.defect_deeds import act
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        for name, role in (("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-4))
        yield logbook


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
