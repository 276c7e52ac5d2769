"""The closing time: who is asked for it, the clock between two taps, the rules."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from visits import CORRIDOR, CUPBOARD, MEASURED, NFPA, NOON, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Check, PromptKind
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.values import Command, Condition, Word
from doorround.hearing.session.interpretation import typed


def later(visit: Visit, seconds: float, *lines: str) -> list[str]:
    """Lines typed so many seconds after noon."""
    for line in lines:
        heard = typed(UNDERSTANDING, line, expected_input(visit.check), By.TAP)
        visit.turn = take_turn(visit.check, heard, NOON + timedelta(seconds=seconds))
        visit.entered += visit.turn.enter
    return visit.said


# ---- The closing time


def test_nobody_is_asked_for_a_closing_time_or_a_force_unless_they_have_the_gauge() -> None:
    for key in ("closer.seconds", "closer.force_low", "closer.force_high"):
        assert not Visit().check.checklist.asks(Visit().check.checklist.ask(key), CORRIDOR)
        assert MEASURED.asks(MEASURED.ask(key), CORRIDOR) and not MEASURED.asks(
            MEASURED.ask(key), CUPBOARD
        )


def test_a_set_without_a_limit_for_it_does_not_ask_for_a_force() -> None:
    timed = {"closer.seconds": NFPA.rules.limits["closer.seconds"]}
    gauges = NFPA.rules.model_copy(update={"gauges": ("stopwatch", "force gauge"), "limits": timed})
    asked = [question.key for question in NFPA.under(gauges).for_door(CORRIDOR)]
    assert "closer.seconds" in asked and "closer.force_low" not in asked


def test_the_time_between_two_taps_is_the_closing_time() -> None:
    visit = Visit().go_to("closer.full")
    assert later(visit, 0, "letting go") == [
        "The clock is running. Tap or say shut when it's shut."
    ]
    assert visit.turn.say[0].taps == ("shut",)
    said = later(visit, 6.24, "shut")
    assert said[0] == "Closer, seconds from 90 degrees: 6.2 s."
    assert visit.check.open == "closer.full" and visit.meaning("closer.seconds") == "31/5 s"
    assert visit.check.let_go is None


def test_a_door_that_takes_too_long_by_the_clock_is_found() -> None:
    visit = Visit().go_to("closer.full")
    later(visit, 0, "letting go")
    # 3 to 20 s from 90 degrees: common practice, no source
    assert (
        later(visit, 25, "shut")[0]
        == "Closer, seconds from 90 degrees: 25 s; 25 s from 90°, 20 s is the most."
    )


@pytest.mark.parametrize("seconds", [0, 0.9, 61, 3600, -5])
def test_a_time_that_no_door_takes_is_asked_for_again_and_not_entered(seconds: float) -> None:
    visit = Visit().go_to("closer.full")
    later(visit, 0, "letting go")
    said = later(visit, seconds, "shut")
    assert said[0].endswith(
        "which can't be right. Try again: letting go, then shut. Or say the seconds."
    )
    assert visit.meaning("closer.seconds") is None and visit.check.let_go is None
    assert visit.check.open == "closer.full"


def test_shut_before_letting_go_stops_nothing() -> None:
    visit = Visit().go_to("closer.full")
    later(visit, 5, "shut")
    assert visit.meaning("closer.seconds") is None and visit.meaning("closer.full") is None


def test_while_the_clock_runs_a_pass_of_the_closer_is_read_back_and_a_fault_is_taken() -> None:
    """ "Shut" is one sound from "shuts", which would pass the closer."""
    visit = Visit().go_to("closer.full")
    later(visit, 0, "letting go")
    closes = "Closer from fully open: closes by itself, all the way, without slamming. Right?"
    assert later(visit, 6, "shuts by itself") == [closes]
    stuck = Visit().go_to("closer.full")
    later(stuck, 0, "letting go")
    later(stuck, 6, "stops short")
    assert stuck.meaning("closer.full") == "stops_short" and stuck.check.let_go is None


def test_the_clock_outlives_a_restart() -> None:
    visit = Visit().go_to("closer.full")
    later(visit, 0, "letting go")
    kept = Check.model_validate(
        {**visit.check.model_dump(mode="json"), "checklist": visit.check.checklist}
    )
    assert kept.let_go == NOON


def heard_in_one_recording(*said: tuple[Any, float, float]) -> Heard:
    means = tuple(
        Said(
            question=None if isinstance(each, Word) else "closer.full",
            value=Command(word=each) if isinstance(each, Word) else each,
            phrase=str(each),
            at=(start, end),
        )
        for each, start, end in said
    )
    return Heard(said=means, words="letting go, shut", audio_sha256="ab")


def test_within_one_recording_the_moments_of_the_words_count() -> None:
    visit = Visit().go_to("closer.full")
    said = visit.take(heard_in_one_recording((Word.LET_GO, 0.4, 1.2), (Word.SHUT, 7.3, 7.7)))
    assert said[0] == "Closer, seconds from 90 degrees: 6.1 s."
    answer = visit.check.answers["closer.seconds"]
    assert (answer.spoken, answer.audio_sha256, answer.heard) == (
        (0.4, 7.7),
        "ab",
        "letting go, shut",
    )


def test_what_is_said_of_the_closer_in_the_same_recording_is_not_lost() -> None:
    visit = Visit().go_to("closer.full")
    visit.take(
        heard_in_one_recording(
            (Word.LET_GO, 0.4, 1.2), (Word.SHUT, 7.3, 7.7), (Condition(), 9.0, 10.0)
        )
    )
    visit.type("yes")
    assert visit.meaning("closer.seconds") == "61/10 s" and visit.meaning("closer.full") == "sound"


def test_the_time_may_be_told_at_the_closing_question_and_is_then_not_asked_for() -> None:
    visit = Visit(checklist=MEASURED).go_to("closer.full")
    assert visit.turn.say[-1].taps[-1] == "letting go"
    assert visit.type("closes fully, takes six seconds")[-1].startswith("Now open it a hand's span")
    asked = Visit(checklist=MEASURED).go_to("closer.seconds")
    assert asked.turn.say[-1].kind is PromptKind.QUESTION
    assert asked.type("six")[0] == "Closer, seconds from 90 degrees: 6 s."


def test_a_closing_time_is_not_taken_from_15_degrees() -> None:
    visit = Visit().go_to("closer.ajar")
    visit.type("letting go")
    assert visit.check.let_go is None
