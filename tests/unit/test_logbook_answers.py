"""Answers in force, and what was corrected or taken back; findings that stand or fall with them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit

from doorround.dialogue.turn_result import Turn
from doorround.domain.findings import Verdict
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        yield logbook


def keep(logbook: Logbook, turn: Turn) -> Turn:
    logbook.keep("chat", None, turn)
    return turn


def begin(logbook: Logbook, id: str = "c1", minute: float = 0) -> Turn:
    turn = visit.start(visit.door(), id=id, minute=minute)
    logbook.begin("chat", turn)
    return turn


def in_force(logbook: Logbook) -> list[str]:
    return [answer.id for answer in logbook.answers("c1")]


def test_a_correction_stands_and_what_it_corrects_is_still_there(logbook: Logbook) -> None:
    turn = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.PAINTED, 1))
    keep(logbook, visit.answer(turn.check, "seals", visit.SOUND, 2))
    assert in_force(logbook) == ["seals#2"]
    given = logbook.answers_given("c1")
    assert [(one.seq, one.answer.id, one.answer.corrects, one.corrected_by) for one in given] == [
        (3, "seals#1", None, 5),
        (5, "seals#2", "seals#1", None),
    ]


def test_an_answer_taken_back_is_no_longer_in_force(logbook: Logbook) -> None:
    turn = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.SOUND, 1))
    turn = keep(logbook, visit.withdraw(turn.check, "seals", 2))
    assert in_force(logbook) == []
    keep(logbook, visit.answer(turn.check, "seals", visit.PAINTED, 3))
    assert in_force(logbook) == ["seals#2"]
    assert [one.withdrawn_by for one in logbook.answers_given("c1")] == [4, None]


def test_a_correction_taken_back_does_not_revive_what_it_corrected(logbook: Logbook) -> None:
    turn = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.SOUND, 1))
    turn = keep(logbook, visit.answer(turn.check, "seals", visit.PAINTED, 2))
    turn = keep(logbook, visit.withdraw(turn.check, "seals", 3))
    assert in_force(logbook) == []
    assert [answer.id for answer in turn.check.answers.values()] == []


def test_an_answer_given_again_replaces_the_one_before_even_if_it_does_not_say_so(
    logbook: Logbook,
) -> None:
    first = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.SOUND, 1)).check
    second = visit.answer(first, "seals", visit.PAINTED, 2)
    body = {**second.enter[0].body, "corrects": None}
    keep(
        logbook,
        Turn(second.check, second.say, (second.enter[0].model_copy(update={"body": body}),)),
    )
    assert in_force(logbook) == ["seals#2"]


def test_answers_of_two_checks_do_not_meet(logbook: Logbook) -> None:
    keep(
        logbook,
        visit.close(
            keep(logbook, visit.answer(begin(logbook).check, "seals", visit.SOUND, 1)).check, 2
        ),
    )
    turn = keep(logbook, visit.answer(begin(logbook, "c2", 10).check, "seals", visit.PAINTED, 11))
    keep(logbook, visit.withdraw(turn.check, "seals", 12))
    assert in_force(logbook) == ["seals#1"]
    assert logbook.answers("c2") == []


def test_a_finding_falls_with_its_answer(logbook: Logbook) -> None:
    turn = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.PAINTED, 1))
    found = logbook.findings("c1")
    assert [(one.seq, one.door, one.check, one.answer) for one in found] == [
        (4, "14", "c1", "seals#1")
    ]
    assert (found[0].finding.what, found[0].finding.verdict) == (
        "seals painted over",
        Verdict.DEFECT,
    )
    keep(logbook, visit.answer(turn.check, "seals", visit.SOUND, 2))
    assert logbook.findings("c1") == [] and logbook.findings() == []


def test_a_rules_last_word_on_an_answer_counts(logbook: Logbook) -> None:
    turn = keep(logbook, visit.answer(begin(logbook).check, "seals", visit.PAINTED, 1))
    again = turn.enter[1].model_copy(update={"body": {**turn.enter[1].body, "severity": "act now"}})
    keep(logbook, Turn(turn.check, (), (again,)))
    assert [one.finding.verdict for one in logbook.findings("c1")] == [Verdict.ACT_NOW]


def test_answers_in_force_are_the_checks_own(logbook: Logbook) -> None:
    turn = begin(logbook)
    for question, value in (
        ("glass.kind", visit.WIRED),
        ("hinges.count", visit.THREE),
        ("seals", visit.PAINTED),
        ("hinges.count", visit.THREE),
        ("closer.shuts", visit.YES),
    ):
        turn = keep(logbook, visit.answer(turn.check, question, value, 1))
    turn = keep(logbook, visit.withdraw(turn.check, "closer.shuts", 2))
    assert {answer.question: answer for answer in logbook.answers("c1")} == turn.check.answers
