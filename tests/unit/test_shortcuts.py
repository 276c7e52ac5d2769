"""Short words typed at a door: "n/a", "nobody in", "what is left"; and taps that come too fast."""

from __future__ import annotations

from datetime import timedelta

import pytest
from visits import CORRIDOR, NOON, PASSES, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Stage
from doorround.domain.findings import Verdict
from doorround.domain.input_result import By
from doorround.hearing.session.interpretation import typed


@pytest.mark.parametrize("words", ["n/a", "N/A.", "not applicable"])
def test_not_applicable_answers_the_open_question_and_passes_nothing(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    visit.type(words)
    assert visit.meaning("glass.here") == "does not apply"
    visit.all_well().type("finish check")
    assert visit.check.verdict is Verdict.UNKNOWN


def test_nobody_in_leaves_the_whole_door_unchecked_after_a_yes() -> None:
    visit = Visit(CORRIDOR)
    assert visit.type("Nobody in")[-1].endswith("not checked: no access. Right?")
    visit.type("yes")
    assert visit.check.stage is Stage.SUMMARY
    assert all("no access" in (visit.meaning(key) or "") for key in visit.check.answers)


def test_next_skips_stop_pauses_and_done_sums_up() -> None:
    visit = Visit(CORRIDOR)
    visit.type("next")
    assert visit.check.open == "sign.here" and visit.check.put_off == ("clear",)
    visit.type("stop")
    assert visit.check.stage is Stage.PAUSED
    visit.type("carry on", "done")
    assert visit.check.stage is Stage.SUMMARY


@pytest.mark.parametrize("words", ["sign", "Sign it.", "sign off", "please sign"])
def test_at_the_summary_sign_is_the_signature_and_before_it_the_sign_on_the_door(
    words: str,
) -> None:
    visit = Visit(CORRIDOR).go_to("sign.here")
    visit.type(words)
    assert visit.check.stage is not Stage.SUMMARY and visit.meaning("sign.here") is None
    visit = Visit(CORRIDOR).all_well()
    assert visit.check.stage is Stage.SUMMARY
    visit.type(words)
    assert visit.check.stage is Stage.SIGNED


@pytest.mark.parametrize("words", ["that's me done", "That's me", "I'm done here", "all done mate"])
def test_who_is_done_finishes_the_check_and_at_the_summary_signs(words: str) -> None:
    visit = Visit(CORRIDOR)
    visit.type(words)
    assert visit.check.stage is Stage.SUMMARY
    visit = Visit(CORRIDOR).all_well()
    visit.type(words)
    assert visit.check.stage is Stage.SIGNED


@pytest.mark.parametrize("words", ["what is there to choose from?", "What are the options"])
def test_who_asks_for_the_choices_is_told_what_can_be_said(words: str) -> None:
    visit = Visit(CORRIDOR)
    assert visit.type(words) == visit.type("what can I say")
    assert visit.check.misses == 0


def test_wrong_door_asks_before_it_cancels() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wrong door")
    assert visit.check.stage is Stage.CANCELLING
    visit.type("yes")
    assert visit.check.stage is Stage.CANCELLED


@pytest.mark.parametrize("words", ["what is left", "What's left?", "how many left"])
def test_what_is_left_tells_how_far_it_has_come_and_is_no_miss(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    said = visit.type(words)
    total = len(visit.check.questions)
    assert said[0] == (
        f"{total - 2} of {total} answered. Left: Closer from fully open; Closer from 15 degrees."
    )
    assert visit.check.misses == 0 and visit.check.open == "closer.full"


def test_a_shortcut_answers_no_read_back() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wrong door", "done")
    assert visit.check.stage is Stage.CANCELLING


def test_undo_says_what_it_took_back() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("split")
    assert visit.type("undo")[0] == "Taken back: Frame, this side: split."
    assert visit.check.open == "frame.here"


def tapped(seconds: float) -> Visit:
    """A visit at its summary, each answer so many seconds behind the one before."""
    visit = Visit(CORRIDOR)
    now = NOON
    while visit.check.open is not None:
        now += timedelta(seconds=seconds)
        heard = typed(UNDERSTANDING, PASSES[visit.check.open], expected_input(visit.check), By.TAP)
        visit.turn = take_turn(visit.check, heard, now)
    return visit


def test_taps_faster_than_anybody_looks_are_asked_about_before_signing() -> None:
    visit = tapped(1.1)
    said = visit.type("finish check")
    assert said == [
        "17 taps came within 20 seconds. Was each part looked at? If so, say finish check once"
        " more; else go back."
    ]
    assert visit.check.stage is Stage.SUMMARY
    visit.type("finish check")
    assert visit.check.stage is Stage.SIGNED


def test_at_the_pace_of_somebody_who_looks_nothing_is_asked() -> None:
    visit = tapped(8)
    visit.type("finish check")
    assert visit.check.stage is Stage.SIGNED


def test_answers_of_one_moment_are_of_one_message_and_no_hurry() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("finish check")
    assert visit.check.stage is Stage.SIGNED
