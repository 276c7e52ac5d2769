"""Not understood: asked again once, then put off; at the end asked again, then left open.

Never a pass.
"""

from __future__ import annotations

import pytest
from visits import CHECKLIST, CORRIDOR, CUPBOARD, HELD_OPEN, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed


def doubted(visit: Visit, words: str) -> Unsure:
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    assert isinstance(heard, Heard)
    return Unsure(guesses=(heard,))


def missed(visit: Visit, times: int, heard: AnyHeard | None = None) -> list[str]:
    for _ in range(times):
        visit.take(heard or OffGrammar())
    return visit.said


def test_the_first_miss_asks_again_in_full_with_an_example() -> None:
    visit = Visit(CORRIDOR, terse=True).go_to("hinges.fixings")
    assert visit.type("purple") == [
        "“purple” doesn't answer this.",
        "Hinges: marked, every screw in and tight? "
        "Say, for example: marked and every screw in and tight, or: two screws missing. "
        "Or tap, or say skip.",
    ]
    assert visit.check.open == "hinges.fixings"
    visit.type("marked and tight")
    assert visit.check.misses == 0


def test_the_second_miss_offers_a_tap_and_asks_the_next_question() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    assert missed(visit, 2) == [
        "I didn't understand that.",
        "Seals: I still didn't catch that. Tap to answer it now, or I'll ask again at the end.",
        "How many hinges?",
    ]
    assert visit.turn.say[1].taps == ("change seals",)
    assert visit.check.put_off == ("seals",) and visit.meaning("seals") is None
    assert [entry.body for entry in visit.turn.enter] == [
        {"question": "seals", "again": False, "why": "not understood"},
    ]


def test_a_miss_an_answer_and_a_miss_are_not_two_in_a_row() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    missed(visit, 1)
    visit.type("hinges three")
    missed(visit, 1)
    assert visit.check.open == "seals" and visit.check.put_off == ()
    visit.type("help")
    missed(visit, 1)
    assert visit.check.open == "seals" and visit.check.put_off == ()


@pytest.mark.parametrize("door", [CORRIDOR, HELD_OPEN, CUPBOARD], ids=lambda door: door.number)
def test_the_tap_of_every_question_put_off_brings_just_its_part_back(door) -> None:  # type: ignore[no-untyped-def]
    keys = [
        question.key for question in Visit(door).check.questions if question.component != "register"
    ]
    assert keys
    for key in keys:
        visit = Visit(door).go_to(key)
        missed(visit, 2)
        [tap] = next(
            prompt.taps
            for prompt in visit.turn.say
            if prompt.text.endswith("ask again at the end.")
        )
        visit.tap(tap)
        while (
            visit.check.open != key
        ):  # the other face of the same part, answered before, comes first
            assert visit.check.asked is not None
            assert visit.check.asked.component == CHECKLIST.ask(key).component
            assert visit.check.open in visit.check.answers
            visit.type("skip")
        assert key not in visit.check.answers


def test_what_was_put_off_comes_again_at_the_end_with_help() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    missed(visit, 2)
    visit.go_to("closer.ajar").type("closes fully")
    assert visit.said[1] == "Back to what I didn't catch."
    assert visit.check.open == "seals"
    said = missed(visit, 1)
    assert said[1].startswith("Run a finger along them.")
    visit.type("all there, undamaged, never painted")
    assert visit.said == [
        "Seals: sound.",
        "Door 12: fit, as far as eyes and hands can tell. Say finish check to sign.",
    ]


def test_missed_twice_again_it_stays_open_and_is_never_a_pass() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    missed(visit, 2)
    visit.go_to("closer.ajar").type("closes fully")
    assert missed(visit, 2) == [
        "I didn't understand that.",
        "Seals: I still didn't catch that. It goes down as not checked.",
        "Not checked: Seals (not understood).",
        "Door 12: not shown to be fit, 1 not checked. Say finish check to sign.",
    ]
    visit.type("finish check")
    assert visit.check.verdict is Verdict.UNKNOWN
    assert visit.entered[-1].body["not_checked"] == ["Seals (not understood)"]


def test_what_was_put_off_may_be_answered_by_naming_its_part() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    missed(visit, 2)
    visit.type("seals painted over")
    assert visit.meaning("seals") == "painted"
    visit.all_well()
    assert not any("not understood" in line for line in visit.said)


def test_the_last_question_missed_twice_is_asked_once_more_before_it_stays_open() -> None:
    visit = Visit(CORRIDOR).go_to("closer.ajar")
    assert missed(visit, 2)[1].startswith("Closer from 15 degrees: I still didn't catch that")
    assert visit.check.open == "closer.ajar" and visit.check.misses == 0
    assert (
        missed(visit, 2)[-1]
        == "Door 12: not shown to be fit, 1 not checked. Say finish check to sign."
    )


def test_a_read_back_that_nobody_answers_is_dropped_and_its_question_put_off() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.take(doubted(visit, "all there, undamaged, never painted"))
    assert visit.said == ["Seals: sound. Right?"]
    assert missed(visit, 1) == ["I didn't understand that. Tap or say yes or no: Seals: sound?"]
    missed(visit, 1)
    assert visit.check.pending is None and visit.meaning("seals") is None
    assert visit.check.put_off == ("seals",)
    assert visit.check.stage is Stage.ASKING


def test_two_guesses_refused_put_the_question_off() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.take(doubted(visit, "all there, undamaged, never painted"))
    visit.type("no")
    assert visit.check.open == "seals"
    visit.take(doubted(visit, "loose"))
    visit.type("no")
    assert visit.check.put_off == ("seals",) and visit.check.open == "hinges.count"


def test_an_answer_asked_again_is_not_moved_on_from() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.count")
    visit.type("go back")
    assert visit.check.open == "seals"
    said = missed(visit, 3)
    assert said[1] == "Please tap it, or say skip to leave it as it was."
    assert visit.check.open == "seals" and visit.check.put_off == ()


def test_silence_does_not_race_through_the_door() -> None:
    visit = Visit(CORRIDOR)
    said = missed(visit, 6, Silence())
    assert said[-2:] == [
        "I can't hear you, so I'll wait. Tap or type an answer, or pause.",
        "This side, leaf: undamaged, no holes?",
    ]
    assert visit.turn.say[-1].taps == (
        "undamaged, no holes",
        "dented",
        "hole",
        "split",
        "warped",
        "pause check",
    )
    assert visit.check.put_off == ("clear", "sign.here", "frame.here")
    missed(visit, 50, Silence())
    assert (
        visit.check.put_off == ("clear", "sign.here", "frame.here")
        and visit.check.open == "leaf.here"
    )
    assert visit.check.answers == {} and visit.kinds().count(EntryKind.SKIPPED) == 3


def test_an_answer_ends_the_waiting() -> None:
    visit = Visit(CORRIDOR)
    missed(visit, 9, Silence())
    visit.type("undamaged")
    assert visit.meaning("leaf.here") == "sound" and visit.check.open == "glass.here"
    missed(visit, 2, Silence())
    assert visit.check.open == "gaps.sides"


def test_the_waiting_check_may_be_paused_by_its_tap() -> None:
    visit = Visit(CORRIDOR)
    missed(visit, 6, Silence())
    visit.tap("pause check")
    assert visit.check.stage is Stage.PAUSED
    visit.type("carry on")
    assert visit.check.open == "leaf.here"


def test_doubt_alone_waits_too() -> None:
    visit = Visit(CORRIDOR)
    for _ in range(60):
        visit.take(doubted(visit, "fine") if visit.check.stage is Stage.ASKING else Silence())
    assert visit.check.answers == {} and len(visit.check.put_off) == 3


def test_a_check_kept_before_these_counts_can_be_read() -> None:
    kept = Visit(CORRIDOR).check.model_dump(mode="json")
    del kept["unheard"], kept["lost"]
    assert Check.model_validate({**kept, "checklist": CHECKLIST}).lost == 0
