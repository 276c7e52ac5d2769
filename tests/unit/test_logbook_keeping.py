"""Keeping turns: one transaction each, nothing lost, nothing twice."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Stage
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.values import Measure, Unit
from doorround.logbook.errors import LogbookError, UnknownDoorError
from doorround.logbook.store import Logbook


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path, zone="Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        yield logbook


def kinds(logbook: Logbook) -> list[str]:
    return [entry.kind.value for entry in logbook.entries()]


def begun(logbook: Logbook, **more: object) -> Check:
    turn = visit.start(visit.door(), **more)  # type: ignore[arg-type]
    logbook.begin("chat", turn)
    return turn.check


def test_a_turn_keeps_its_entries_and_where_the_talk_stands(logbook: Logbook) -> None:
    turn = visit.answer(begun(logbook), "hinges.count", visit.THREE, 1, heard="three")
    said = logbook.keep("chat", "m1", turn)
    assert [prompt.text for prompt in said] == ["hinges.count: three."]
    assert kinds(logbook) == ["door added", "check started", "answered"]
    assert logbook.position("chat") == turn.check


def test_what_is_kept_is_there_after_reopening(logbook: Logbook, path: Path) -> None:
    turn = visit.answer(begun(logbook), "hinges.count", visit.THREE, 1)
    logbook.keep("chat", "m1", turn)
    logbook.close()
    with Logbook.open(path) as again:
        assert again.position("chat") == turn.check
        assert [answer.id for answer in again.answers("c1")] == ["hinges.count#1"]


def test_a_fraction_of_an_inch_comes_back_exactly(logbook: Logbook, path: Path) -> None:
    eighth = Measure.model_validate({"amount": "1/8", "unit": Unit.INCH})
    turn = visit.answer(begun(logbook), "hinges.count", eighth, 1)
    logbook.keep("chat", "m1", turn)
    assert logbook.answers("c1")[0].value == eighth
    assert logbook.position("chat") == turn.check


def test_time_is_stored_in_utc_with_the_zone_beside(logbook: Logbook, path: Path) -> None:
    row = raw(path, "SELECT at, zone FROM entries")[0]
    assert row == ("2026-03-02T07:55:00.000000Z", "Europe/London")


def test_a_time_without_a_zone_is_refused(logbook: Logbook) -> None:
    with pytest.raises(ValueError, match="no time zone"):
        logbook.add_person("Ines", "caretaker", visit.at(0).replace(tzinfo=None))


def test_an_incoming_message_that_comes_twice_is_kept_once(logbook: Logbook) -> None:
    check = begun(logbook)
    first = logbook.keep(
        "chat", "m1", visit.answer(check, "hinges.count", visit.THREE, 1, heard="three")
    )
    after = logbook.position("chat")
    assert after is not None
    again = logbook.keep(
        "chat", "m1", visit.answer(after, "hinges.count", visit.THREE, 2, heard="free")
    )
    assert again == first
    assert [answer.heard for answer in logbook.answers("c1")] == ["three"]
    assert logbook.position("chat") == after


def test_the_message_that_began_a_check_begins_it_once(logbook: Logbook) -> None:
    said = logbook.begin("chat", visit.start(visit.door()), incoming="m0")
    assert logbook.begin("chat", visit.start(visit.door(), id="c2"), incoming="m0") == said
    assert [check.id for check in logbook.checks()] == ["c1"]


def test_the_same_id_in_two_talks_is_two_messages(logbook: Logbook) -> None:
    logbook.begin("chat", visit.start(visit.door()), incoming="m1")
    logbook.begin("other", visit.start(visit.door(), id="c2"), incoming="m1")
    assert [check.id for check in logbook.checks()] == ["c1", "c2"]


def test_a_new_message_has_no_reply_yet(logbook: Logbook) -> None:
    assert logbook.already("chat", "m1") is None


def test_a_reply_of_no_words_is_still_a_reply(logbook: Logbook) -> None:
    check = begun(logbook)
    logbook.keep("chat", "m1", visit.pause(check, 1))
    assert logbook.already("chat", "m1") == ()


def test_a_turn_without_entries_still_moves_the_talk(logbook: Logbook) -> None:
    check = begun(logbook)
    logbook.keep("chat", "m1", visit.ask_again(check), at=visit.at(1))
    position = logbook.position("chat")
    assert position is not None and position.misses == 1
    assert kinds(logbook) == ["door added", "check started"]


def test_a_talk_that_never_began_stands_nowhere(logbook: Logbook) -> None:
    assert logbook.position("chat") is None


def test_a_turn_that_fails_halfway_leaves_nothing(logbook: Logbook) -> None:
    check = begun(logbook)
    turn = visit.answer(check, "hinges.count", visit.THREE, 1)
    bad = Entry(
        kind=EntryKind.NOTED, at=visit.at(1), person="Ines", check="c1", body={"text": object()}
    )
    with pytest.raises(ValueError, match='entry "noted" of Ines cannot be kept as JSON'):
        logbook.keep("chat", "m1", Turn(turn.check, turn.say, (*turn.enter, bad)))
    assert kinds(logbook) == ["door added", "check started"]
    assert logbook.position("chat") == check
    assert logbook.already("chat", "m1") is None


def test_several_things_kept_together_stand_or_fall_together(logbook: Logbook) -> None:
    with pytest.raises(RuntimeError), logbook.writing():
        logbook.add_door(visit.door("15"), "Mona", visit.at(0))
        begun(logbook)
        raise RuntimeError("the lights went out")
    assert kinds(logbook) == ["door added"]
    # the checklist went with it; the next check must keep it again
    begun(logbook)
    assert logbook.position("chat") is not None


def test_a_second_check_waits_until_the_first_is_closed(logbook: Logbook) -> None:
    check = begun(logbook)
    with pytest.raises(LogbookError, match='Talk "chat" is in the middle of check c1 of door 14'):
        begun(logbook, id="c2")
    logbook.keep("chat", None, visit.close(check, 1, Stage.CANCELLED))
    begun(logbook, id="c2")
    assert [(check.id, check.stage) for check in logbook.checks()] == [
        ("c1", "cancelled"),
        ("c2", "open"),
    ]


def test_a_turn_of_another_check_is_refused(logbook: Logbook) -> None:
    begun(logbook)
    stray = visit.start(visit.door(), id="c9").check
    with pytest.raises(LogbookError, match='Talk "chat" is at check c1, not c9'):
        logbook.keep("chat", "m1", visit.answer(stray, "hinges.count", visit.THREE, 1))


def test_a_turn_before_any_check_is_refused(logbook: Logbook) -> None:
    stray = visit.start(visit.door()).check
    with pytest.raises(LogbookError, match='Talk "chat" has begun no check, not c1'):
        logbook.keep("chat", "m1", visit.answer(stray, "hinges.count", visit.THREE, 1))


def test_a_check_of_a_door_nobody_added_is_refused(logbook: Logbook) -> None:
    with pytest.raises(UnknownDoorError, match="no door 99 in the register"):
        logbook.begin("chat", visit.start(visit.door("99")))
    assert kinds(logbook) == ["door added"]


def test_a_check_begins_only_with_its_start(logbook: Logbook) -> None:
    with pytest.raises(ValueError, match="check started"):
        logbook.begin("chat", visit.ask_again(visit.start(visit.door()).check))


def test_the_same_answer_is_never_entered_twice(logbook: Logbook) -> None:
    turn = visit.answer(begun(logbook), "hinges.count", visit.THREE, 1)
    logbook.keep("chat", "m1", turn)
    with pytest.raises(LogbookError, match="this answer stands in the logbook already"):
        logbook.keep("chat", "m2", turn)


def test_a_position_of_another_version_is_said_so_and_does_not_block(
    logbook: Logbook, path: Path
) -> None:
    begun(logbook)
    raw(path, 'UPDATE talks SET position = \'{"shape": "new"}\'')
    with pytest.raises(LogbookError, match='Where talk "chat" stood was kept by another version'):
        logbook.position("chat")
    begun(logbook, id="c2")
    position = logbook.position("chat")
    assert position is not None and position.id == "c2"


def test_the_wording_asked_is_kept_with_the_check(logbook: Logbook, path: Path) -> None:
    old = begun(logbook, wording=visit.checklist("How are the seals?"))
    logbook.keep("chat", None, visit.close(old, 1))
    new = begun(logbook, id="c2", wording=visit.checklist("Are the seals sound?"))
    asked = [logbook.checklist(check.checklist).ask("seals").ask for check in logbook.checks()]
    assert asked == ["How are the seals?", "Are the seals sound?"]
    position = logbook.position("chat")
    assert position is not None and position.checklist == new.checklist


def test_one_wording_is_stored_once(logbook: Logbook, path: Path) -> None:
    logbook.keep("chat", None, visit.close(begun(logbook), 1))
    begun(logbook, id="c2")
    assert raw(path, "SELECT count(*) FROM checklists") == [(1,)]
