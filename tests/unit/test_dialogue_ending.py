"""Summary, signing, cancelling; pausing and taking up again; notes."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, CORRIDOR, NOON, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Check, PromptKind, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import BadAudio, OffGrammar, Silence
from doorround.hearing.session.interpretation import typed


def stored(check: Check) -> Check:
    """The check as it comes back from the logbook: through JSON, its checklist put in again."""
    return Check.model_validate({**check.model_dump(mode="json"), "checklist": CHECKLIST})


# ---- Summary and signature


def test_the_summary_lists_every_defect_and_everything_not_checked() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open", "wrong sign", "split top left", "can't see it, covered")
    visit.go_to("gaps.sides").type("five", "not measured")
    visit.go_to("seals").type("skip")
    visit.go_to("closer.full").type("slams", "stops short", "skip")
    assert visit.said == [
        "Seals: down as not checked.",
        "Act now: Doorway: wedged open; Closer from 15 degrees: stops short.",
        (
            "Soon: Frame, this side: split, top left; Gap at head and sides: 5 mm, 4 mm allowed;"
            " Closer from fully open: slams."
        ),
        "Planned: Sign, this side: wrong sign.",
        "Not checked: Leaf, this side (covered); Gap at the threshold (not measured); Seals.",
        "Door 12: out of action, 6 defects, 3 not checked. Say finish check to sign.",
    ]


def test_finish_signs_only_after_the_summary_was_shown() -> None:
    visit = Visit(CORRIDOR).all_well()
    assert visit.check.stage is Stage.SUMMARY
    assert visit.type("finish check") == [
        "Signed. Door 12: fit, as far as eyes and hands can tell."
    ]
    assert visit.check.stage is Stage.SIGNED and visit.check.verdict is Verdict.SOUND
    (signed,) = [entry for entry in visit.entered if entry.kind is EntryKind.SIGNED]
    judgement = {
        "result": "fit",
        "sentence": "Fit, as far as eyes and hands can tell.",
        "rules": "uk-premises",
        "faults": 0,
        "evidence": [],
        "competent": [],
        "loosened": [],
    }
    assert signed.body == {
        "verdict": "sound",
        "answers": 17,
        "defects": 0,
        "not_checked": [],
        "judgement": judgement,
    }


def test_finish_in_the_middle_brings_the_summary_and_carry_on_goes_on() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    said = visit.type("finish check")
    assert (
        said[-1]
        == "Door 12: not shown to be fit, 9 not checked. Say finish check to sign, or carry on"
        " to answer the rest."
    )
    assert visit.check.stage is Stage.SUMMARY
    visit.type("carry on")
    assert visit.check.open == "seals"
    assert visit.all_well().said == [
        "Closer from 15 degrees: sound.",
        "Door 12: fit, as far as eyes and hands can tell. Say finish check to sign.",
    ]


def test_a_check_signed_early_is_never_sound() -> None:
    visit = Visit(CORRIDOR).go_to("closer.ajar")
    visit.type("finish check", "finish check")
    assert visit.check.verdict is Verdict.UNKNOWN
    assert visit.said == ["Signed. Door 12: not shown to be fit, 1 not checked."]


@pytest.mark.parametrize("key", ["gaps.sides", "gaps.threshold"])
@pytest.mark.parametrize("phrase", ["not measured", "cannot check", "does not apply"])
def test_a_gap_that_was_not_measured_leaves_the_door_unknown(key: str, phrase: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    visit.type(phrase)
    visit.all_well().type("finish check")
    assert visit.check.verdict is Verdict.UNKNOWN
    assert visit.said == ["Signed. Door 12: not shown to be fit, 1 not checked."]


def test_a_door_with_a_defect_is_signed_with_the_caution_and_goes_to_the_supervisor() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("painted over")
    said = visit.all_well().type("finish check")
    assert said[0] == "Signed. Door 12: fit with 1 defect."
    assert said[1] == "The defects are in the logbook. Tell the supervisor yourself."
    assert said[2].startswith("This check sees what eyes and hands can see.")
    assert visit.turn.say[1].kind is PromptKind.CAUTION
    assert visit.check.verdict is Verdict.DEFECT


def test_a_finish_that_was_not_sure_is_asked_back_and_a_yes_signs() -> None:
    visit = Visit(CORRIDOR).all_well()
    assert visit.type("finsh check") == ["finish check. Right?"]
    assert visit.check.stage is Stage.CONFIRMING
    assert visit.type("yes") == ["Signed. Door 12: fit, as far as eyes and hands can tell."]


def test_a_no_to_that_stays_at_the_summary() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("finsh check")
    assert visit.type("no") == [
        "Not that, then.",
        "Say finish check to sign it, or change and the part's name.",
    ]
    assert visit.check.stage is Stage.SUMMARY


@pytest.mark.parametrize(
    "heard", [Silence(), OffGrammar(), BadAudio(advice="Too loud.")], ids=lambda each: each.kind
)
def test_nothing_but_finish_signs(heard: object) -> None:
    visit = Visit(CORRIDOR).all_well()
    for _ in range(5):
        visit.take(heard)  # type: ignore[arg-type]
        visit.type("yes", "okay", "fine", "everything is fine", "skip", "carry on")
    assert visit.check.stage is Stage.SUMMARY


def test_after_the_signature_nothing_more_is_entered() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("finish check")
    entries = len(visit.entered)
    for words in (
        "wedged",
        "undo",
        "change hinges",
        "note smells of gas",
        "finish check",
        "cancel",
        "go back",
    ):
        assert visit.type(words) == ["This check is signed. Start another door."]
    assert len(visit.entered) == entries


def test_a_change_at_the_summary_comes_back_to_it() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("change latch", "won't latch")
    assert visit.said[-1] == "Door 12: fit with 1 defect. Say finish check to sign."


# ---- Cancelling


def test_cancel_asks_first_and_keeps_what_was_said_unsigned() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open")
    assert visit.type("cancel") == [
        "Cancel this check? What you said stays in the logbook, unsigned."
    ]
    assert visit.check.said[-1].taps == ("yes", "no")
    assert visit.type("yes") == ["Cancelled. Door 12 is not checked."]
    assert visit.check.stage is Stage.CANCELLED and visit.check.verdict is None
    assert visit.meaning("clear") == "wedged"


@pytest.mark.parametrize(
    "words", ["no", "fine", "okay", "three", "all clear", "skip", "finish check"]
)
def test_nothing_but_yes_cancels_and_nothing_said_there_answers(words: str) -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open", "cancel", words)
    assert visit.check.stage in (Stage.ASKING, Stage.CANCELLING)
    assert visit.meaning("clear") == "wedged"
    assert list(visit.check.answers) == ["clear"]


def test_a_number_said_there_corrects_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    visit.type("five", "cancel", "three", "no, three")
    assert visit.meaning("gaps.sides") == "5 mm"


# ---- Pausing and taking up again


def test_a_paused_check_waits_for_carry_on_and_takes_nothing_else() -> None:
    visit = Visit(CORRIDOR)
    visit.type("all clear")
    assert visit.type("pause") == [
        "Paused at door 12. Nothing is lost. Say carry on when you're back."
    ]
    for words in ("right", "skip", "undo", "finish check", "help", "change hinges", "yes"):
        visit.type(words)
        assert visit.check.stage is Stage.PAUSED
    visit.take(Silence())
    assert list(visit.check.answers) == ["clear"]
    said = visit.type("carry on")
    assert said[0] == "Back at door 12." and visit.check.open == "sign.here"
    assert visit.kinds()[-2:] == [EntryKind.PAUSED, EntryKind.RESUMED]


SCRIPT = [
    "all clear",
    "purple",
    "sign wrong",
    "probably whole",
    "no",
    "split",
    "skip",
    "cracked bottom left",
    "3 1/2",
    "six",
    "help",
    "latch fine, seals painted at the top",
    "no, two",
    "three hinges",
    "go back",
    "marked and tight",
    "note smells",
    "undo",
    "pause",
    "carry on",
    "cannot check",
    "finish check",
    "carry on",
    "finsh check",
    "yes",
]


def test_a_check_stored_and_taken_up_after_any_turn_goes_on_as_if_nothing_had_been() -> None:
    straight = Visit(CORRIDOR)
    broken = Visit(CORRIDOR)
    for line in SCRIPT:
        straight.type(line)
        restarted = stored(broken.check)
        assert restarted == broken.check
        broken.turn = take_turn(
            restarted, typed(UNDERSTANDING, line, expected_input(restarted)), NOON
        )
        assert broken.turn == straight.turn, line


def test_a_check_is_stored_without_its_checklist_and_as_plain_data() -> None:
    kept = Visit(CORRIDOR).go_to("seals").check.model_dump(mode="json")
    assert "checklist" not in kept
    assert kept["answers"]["gaps.sides"]["value"] == {
        "kind": "measure",
        "amount": "3",
        "unit": "mm",
    }
