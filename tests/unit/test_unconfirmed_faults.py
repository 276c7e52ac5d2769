"""A fault that waits for its read-back: confirmed, denied in words, or kept as reported.

It is never lost.
"""

from __future__ import annotations

import pytest
from own_words_typed import typed_on
from reported_faults import signed, step
from test_dialogue_laws import DOORS
from visits import CORRIDOR, HELD_OPEN, NOON, UNDERSTANDING, Visit

from doorround.dialogue.amending import stand_at
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.dialogue.unconfirmed_faults import doubted_words
from doorround.domain.check import Check, Stage, Unread
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import Heard, OffGrammar, Said, Silence
from doorround.domain.values import YesNo
from doorround.hearing.session.interpretation import typed


def reported(visit: Visit) -> list[str]:
    return [f"{each.question} {each.said.phrase}" for each in visit.check.reported]


def of_kind(visit: Visit, kind: EntryKind) -> list[str]:
    return [
        f"{entry.body['question']} {entry.body['heard']}"
        for entry in visit.entered
        if entry.kind is kind
    ]


def test_a_fault_told_after_all_answers_is_not_signed_away() -> None:
    visit = Visit(CORRIDOR).go_to(None)
    visit.type("leaf split")
    assert visit.check.stage is Stage.CONFIRMING
    said = visit.type("finish check")
    assert visit.check.stage is not Stage.SIGNED
    assert said[-1].startswith("You reported this") and said[-1].endswith("split. Right?")
    assert any("not shown to be fit" in line for line in said)
    said = visit.type("finish check")
    assert said[0] == "Signed. Door 12: not shown to be fit, 1 not checked."
    assert (
        said[1] == "Not confirmed, so not in the list of defects: Leaf, other side: split. Tell the"
        " supervisor"
        " yourself."
    )
    assert visit.check.verdict is Verdict.UNKNOWN
    assert any(
        "split" in str(each) and "not confirmed" in str(each)
        for each in signed(visit)["not_checked"]
    )  # type: ignore[attr-defined]


def test_a_signed_report_leaves_no_pass_that_would_close_what_was_found_there_before() -> None:
    visit = Visit(CORRIDOR).go_to(None)
    visit.type("probably this side leaf split", "finish check", "finish check")
    assert visit.check.stage is Stage.SIGNED
    assert "leaf.here" not in visit.check.answers and visit.kinds().count(EntryKind.WITHDRAWN) == 1


@pytest.mark.parametrize(
    "words",
    [
        "skip",
        "pause",
        "help",
        "undo",
        "go back",
        "note smells",
        "change hinges",
        "finish check",
        "cancel",
        "read aloud",
        "what can I say",
        "loose",
    ],
)
def test_whatever_else_is_said_to_the_read_back_keeps_the_fault(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", words)
    assert reported(visit) == ["frame.here split"]
    if words != "finish check":
        assert of_kind(visit, EntryKind.REPORTED) == ["frame.here split"]


def test_silence_keeps_it_too() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split")
    for _ in range(3):
        visit.take(Silence())
    assert reported(visit) == ["frame.here split"]


def test_a_yes_later_enters_it() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "skip")
    visit.go_to("frame.here")
    assert any("you reported that" in line for line in visit.said)
    visit.type("split")
    assert visit.meaning("frame.here") == "split" and reported(visit) == []
    visit = Visit(CORRIDOR).go_to(None)
    visit.type("maybe hinges loose", "finish check", "yes")
    assert (
        visit.meaning("hinges.fixings") == "loose"
        and visit.check.answers["hinges.fixings"].confirmed
    )
    assert visit.said[-1].startswith("Door 12: fit with 1 defect. Say finish check")


def test_a_no_later_takes_it_out_and_the_logbook_says_so() -> None:
    visit = Visit(CORRIDOR).go_to(None)
    visit.type("maybe hinges loose", "finish check")
    said = visit.type("no")
    assert (
        of_kind(visit, EntryKind.DENIED) == ["hinges.fixings hinges loose"]
        and reported(visit) == []
    )
    assert said[-1].startswith("Door 12: fit, as far as eyes and hands can tell. Say finish check")


def test_a_no_at_once_leaves_nothing_to_enter() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "no")
    assert reported(visit) == [] and of_kind(visit, EntryKind.REPORTED) == []


def test_a_pass_of_what_was_reported_waits_for_a_yes_that_denies_it() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "skip")
    visit.go_to("frame.here")
    assert visit.type("undamaged and firm") == ["Frame, this side: sound, not split. Right?"]
    assert visit.meaning("frame.here") is None
    visit.type("yes")
    assert visit.meaning("frame.here") == "sound" and reported(visit) == []
    assert of_kind(visit, EntryKind.DENIED) == ["frame.here split"]


def test_a_pass_said_once_more_denies_what_was_reported_after_a_yes() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    visit.type("maybe hinges loose", "skip", "hinges marked and tight")
    assert visit.said == ["Hinges: sound, not loose. Right?"]
    visit.type("yes")
    assert reported(visit) == [] and of_kind(visit, EntryKind.DENIED) == [
        "hinges.fixings hinges loose"
    ]


def test_another_number_said_to_the_read_back_is_another_number_and_another_fault_is_one_more() -> (
    None
):
    visit = Visit(CORRIDOR).go_to("hinges.count")
    visit.type("I think two", "three")
    assert visit.meaning("hinges.count") == "3" and reported(visit) == []
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "loose")
    assert visit.meaning("frame.here") == "loose" and reported(visit) == ["frame.here split"]
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "no, loose")
    assert visit.meaning("frame.here") == "loose" and reported(visit) == []


def test_a_door_with_a_defect_and_a_report_is_not_fit_with_defects() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "loose")
    visit.all_well()
    visit.type("finish check")
    assert visit.check.stage is Stage.SIGNED and visit.said[0].startswith(
        "Signed. Door 12: not shown to be fit"
    )


def test_a_reply_to_another_question_keeps_it() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split")
    there = stand_at(visit.check, "sign.here")
    turn = take_turn(there, typed(UNDERSTANDING, "unreadable", expected_input(there)), NOON)
    assert [each.question for each in turn.check.reported] == ["frame.here"]
    assert EntryKind.REPORTED in [entry.kind for entry in turn.enter]


def test_it_survives_being_stored_and_a_check_of_before_has_none() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think split", "skip")
    kept = visit.check.model_dump(mode="json")
    assert Check.model_validate({**kept, "checklist": visit.check.checklist}) == visit.check
    del kept["reported"]
    assert Check.model_validate({**kept, "checklist": visit.check.checklist}).reported == ()


def test_a_fault_put_right_is_reported_beside_the_same_fault_that_was_not() -> None:
    visit = Visit(DOORS[2])
    for words in ("split", "wedged open", *3 * ["split"], "wedge removed", *2 * ["split"]):
        step(visit, "fault", words)
    reports = [report.said.value for report in visit.check.reported]
    faults = [each for value in reports for each in getattr(value, "defects", ())]
    assert [(each.name, each.made_good) for each in faults] == [("wedged", False), ("wedged", True)]


def test_of_two_faults_reported_together_the_one_not_told_again_stays_reported() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    step(visit, "fault", "screw missing and hinge bent")
    visit.type("skip", "change hinges", "screw missing")
    assert reported(visit) == ["hinges.fixings screw missing hinge bent"]
    [answer] = [each for key, each in visit.check.answers.items() if key == "hinges.fixings"]
    assert [each.name for each in answer.value.defects] == ["screw_missing"]  # type: ignore[union-attr]


def test_a_second_fault_beside_one_that_was_reported_is_reported_too() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    step(visit, "fault", "screw missing")
    visit.type("skip", "change hinges")
    step(visit, "fault", "screw missing and hinge bent")
    visit.type("skip")
    assert any("hinge bent" in each for each in reported(visit))


def test_words_not_read_are_denied_by_a_pass_and_by_no_fault() -> None:
    check = Visit(HELD_OPEN).go_to("mark").check
    fault, sound = (Said(question="mark", value=YesNo(yes=yes), phrase="") for yes in (False, True))
    words = "wired stuff scratched off"
    heard = OffGrammar(words=words, nearest=(Heard(said=(fault,), words="", probability=1.0),))
    check = check.model_copy(update={"unread": (Unread(question="mark", heard=heard),)})
    assert doubted_words(check, sound) == words
    assert doubted_words(check, fault) == ""


def test_what_denies_itself_is_quoted_where_a_pass_would_deny_it() -> None:
    visit = Visit(CORRIDOR).go_to("sign.here")
    visit.type("maybe unreadable", "skip")
    visit.go_to("sign.here")
    assert visit.type("right and readable") == [
        "Sign, this side: sound, not “cannot be read”. Right?"
    ]


def test_a_fault_said_to_a_pass_that_is_read_back_takes_no_standing_fault_with_it() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("split", "no, fine")
    assert visit.said == ["Frame, this side: sound, not split. Right?"]
    visit.type("damaged")
    assert visit.meaning("frame.here") == "split; damaged"


def test_a_count_denies_no_fault_that_is_read_back_at_its_question() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.count")
    typed_on(visit, "no, two screws missing")
    assert visit.said == ["Hinges counted: 2 screws missing. Right?"]
    visit.type("nine")
    [report] = visit.check.reported
    assert [each.name for each in report.said.value.defects] == ["screw_missing"]
