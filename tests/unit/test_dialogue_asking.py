"""Which question comes when; skipping, going back, undoing, changing; help that grows."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, CUPBOARD, PASSES, UNKNOWN, Visit, ask

from doorround.domain.check import PromptKind, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, OffGrammar, Silence


def test_a_visit_begins_with_the_door_the_caution_and_the_first_question() -> None:
    visit = Visit(CORRIDOR)
    assert visit.said == [
        "Door 12: Mill House, first floor. FD30S.",
        (
            "This check sees what eyes and hands can see. The door's own test evidence, local rules"
            " and a competent person decide."
        ),
        "Is the doorway clear: no wedge, nothing propped, stored or fixed against the door?",
    ]
    assert visit.kinds() == [EntryKind.CHECK_STARTED]
    assert visit.turn.say[-1].taps == (
        "all clear",
        "wedged open",
        "propped open",
        "boxes against it",
        "hooked open",
    )


def test_after_the_first_door_the_wording_is_terse() -> None:
    visit = Visit(CORRIDOR, terse=True)
    assert visit.said == ["Door 12: Mill House, first floor. FD30S.", "Doorway clear?"]
    assert visit.type("all clear") == ["Doorway: sound.", "Sign, this side?"]
    assert visit.type("right and readable") == ["Sign: sound.", "Frame, this side?"]


def test_an_all_sound_corridor_door_takes_17_answers_and_hears_an_echo_and_the_next_question() -> (
    None
):
    visit = Visit(CORRIDOR)
    answers = 0
    while visit.check.open:
        question = ask(visit.check.open)
        said = (
            PASSES[question.key]
            if question.works
            else "fine"
            if question.kind == "condition"
            else "three"
        )
        visit.go_to(question.key).type(said)
        answers += 1
        assert visit.check.stage is not Stage.CONFIRMING, visit.said
        assert len(visit.said) == 2, visit.said
    assert answers == 17
    assert visit.said == [
        "Closer from 15 degrees: sound.",
        "Door 12: fit, as far as eyes and hands can tell. Say finish check to sign.",
    ]


def test_the_first_unanswered_question_that_applies_is_asked() -> None:
    visit = Visit(CORRIDOR)
    visit.type("hinges three", "all clear")
    assert visit.check.open == "sign.here"
    visit.go_to("seals").type("all there, undamaged, never painted")
    assert visit.check.open == "hinges.fixings"
    assert Visit(CUPBOARD).check.open == "lock"
    assert Visit(UNKNOWN).check.open == "register.use"


def test_what_is_learnt_decides_what_is_asked() -> None:
    visit = Visit(UNKNOWN).go_to("register.glazing")
    visit.type("no glass")
    visit.all_well()
    assert {"glass.here", "glass.beyond", "mark"}.isdisjoint(visit.check.answers)
    unsure = Visit(UNKNOWN).go_to("register.glazing")
    unsure.type("not known")
    unsure.all_well()
    assert {"glass.here", "glass.beyond", "mark"} <= set(unsure.check.answers)


# ---- Skipping


def test_a_skipped_question_comes_back_at_the_end() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    assert visit.type("skip")[0] == "Skipped. I'll come back to it."
    assert visit.check.open == "hinges.count"
    visit.go_to("closer.ajar")
    assert visit.type("closes fully")[1] == "Back to what you skipped."
    assert visit.check.open == "seals"
    visit.type("all there, undamaged, never painted")
    assert visit.said == [
        "Seals: sound.",
        "Door 12: fit, as far as eyes and hands can tell. Say finish check to sign.",
    ]


def test_a_question_skipped_twice_stays_open_and_is_named_in_the_summary() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("skip")
    visit.go_to("closer.ajar").type("closes fully")
    said = visit.type("skip")
    assert said == [
        "Seals: down as not checked.",
        "Not checked: Seals.",
        "Door 12: not shown to be fit, 1 not checked. Say finish check to sign.",
    ]
    assert visit.meaning("seals") is None


def test_two_skips_come_back_in_the_order_walked() -> None:
    visit = Visit(CORRIDOR)
    visit.type("skip", "skip")
    visit.go_to("closer.ajar").type("closes fully")
    assert visit.check.open == "clear"
    visit.type("all clear")
    assert visit.check.open == "sign.here"


def test_skipping_answers_nothing() -> None:
    visit = Visit(CORRIDOR)
    for _ in range(40):
        visit.type("skip")
    assert visit.check.answers == {}
    assert visit.check.open is None
    assert visit.kinds().count(EntryKind.SKIPPED) == 34


# ---- Going back, undoing, changing


def test_go_back_asks_the_answer_before_again_and_keeps_it_until_answered_anew() -> None:
    visit = Visit(CORRIDOR)
    visit.type("all clear", "right and readable", "go back")
    assert visit.said == [
        "Sign, this side: you said sound.",
        "Sign on this side: “Fire door keep shut”. Right and readable?",
    ]
    visit.type("go back")
    assert visit.check.open == "clear"
    assert visit.type("go back")[0] == "This is the first question."
    assert visit.meaning("clear") == "sound"
    visit.type("wedged open")
    assert visit.meaning("clear") == "wedged"
    assert visit.check.answers["clear"].corrects == "clear#1"
    assert visit.check.open == "frame.here"


def test_undo_takes_the_last_turn_back_and_asks_it_again() -> None:
    visit = Visit(CORRIDOR)
    visit.type("all clear, sign wrong", "undo")
    assert visit.said[0] == "Taken back: Doorway: sound; Sign, this side: wrong sign."
    assert visit.check.answers == {} and visit.check.findings == {}
    assert visit.check.open == "clear"
    assert [
        entry.body["answer"] for entry in visit.entered if entry.kind is EntryKind.WITHDRAWN
    ] == [
        "clear#1",
        "sign.here#1",
    ]
    assert visit.type("undo")[0] == "There is nothing to undo. Say change and the part's name."


def test_undo_takes_back_what_was_learnt_of_the_door() -> None:
    visit = Visit(UNKNOWN)
    visit.type("corridor")
    assert str(visit.check.door.use) == "corridor in constant use"
    visit.type("undo")
    assert visit.check.door.use is None
    assert visit.turn.door == UNKNOWN
    assert visit.check.open == "register.use"


def test_a_question_undone_and_skipped_is_not_left_as_it_was() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open", "undo")
    assert visit.type("skip")[0] == "Skipped. I'll come back to it."
    assert visit.meaning("clear") is None


def test_change_asks_all_answers_of_a_part_again_and_skip_leaves_them() -> None:
    visit = Visit(CORRIDOR).go_to("frame.beyond")
    assert visit.type("change hinges")[0] == "Hinges counted: you said 3."
    assert visit.type("two")[0] == "Hinges counted: 2 hinges, 3 expected."
    assert visit.check.open == "hinges.fixings"
    assert visit.type("skip")[0] == "Left as it was."
    assert visit.meaning("hinges.fixings") == "sound"
    assert visit.check.open == "frame.beyond"


def test_change_of_a_part_not_spoken_of_says_so() -> None:
    visit = Visit(CORRIDOR)
    assert visit.type("change hold open")[0] == "There is no answer about the hold-open yet."
    assert visit.check.open == "clear"


def test_change_opens_again_what_was_skipped_twice() -> None:
    visit = Visit(CORRIDOR)
    for _ in range(34):
        visit.type("skip")
    visit.type("change seals")
    assert visit.check.open == "seals"
    visit.type("all there, undamaged, never painted")
    assert visit.meaning("seals") == "sound"


def test_a_correction_of_the_last_answer_leaves_the_open_question_open() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.count")
    visit.type("three", "no, two")
    assert visit.said[0] == "Hinges counted: 2 hinges, 3 expected."
    assert visit.check.open == "hinges.fixings"


# ---- Help


@pytest.mark.parametrize(
    ("heard", "first"),
    [
        (Silence(), "I didn't hear anything."),
        (OffGrammar(), "I didn't understand that."),
        (OffGrammar(words="lunch"), "“lunch” doesn't answer this."),
        (OffGrammar(words="x" * 5000), f"“{'x' * 60} …” doesn't answer this."),
        (BadAudio(advice="Too quiet: hold the phone nearer."), "Too quiet: hold the phone nearer."),
    ],
)
def test_each_way_of_not_understanding_has_a_reply_of_its_own(heard: object, first: str) -> None:
    visit = Visit(CORRIDOR)
    said = visit.take(heard)  # type: ignore[arg-type]
    assert said[0] == first
    assert visit.check.open == "clear" and visit.check.answers == {}
    assert visit.turn.enter == ()


def test_a_recording_that_cannot_be_used_is_no_miss_of_the_caretaker() -> None:
    visit = Visit(CORRIDOR)
    visit.take(BadAudio(advice="Too quiet."))
    assert visit.check.misses == 0


def test_help_tells_what_to_look_for_with_an_example() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    said = visit.type("help")
    assert said[0].startswith("Run a finger along them. Paint over a seal spoils it.")
    assert "For example: all there, undamaged, never painted" in said[0]
    assert visit.check.open == "seals"


def test_repeat_says_the_last_messages_again() -> None:
    visit = Visit(CORRIDOR)
    said = visit.type("wedged open")
    assert len(said) == 3
    assert visit.type("repeat") == said
    assert visit.type("say again") == said


def test_what_can_i_say_lists_what_can_be_said_here_and_always() -> None:
    visit = Visit(CORRIDOR)
    assert visit.type("what can I say")[0].startswith(
        "Here: all clear · wedged open · propped open"
    )
    assert "Always: repeat · play that · go back · skip · help · undo" in visit.said[0]


def test_everything_is_fine_does_not_exist() -> None:
    for words in (
        "everything is fine",
        "the whole door is fine",
        "all of it is okay",
        "everything okay",
    ):
        visit = Visit(CORRIDOR)
        assert (
            visit.type(words)[0]
            == "One part at a time, please. Only what you've looked at can be fine."
        )
        assert visit.check.answers == {}


def test_every_question_is_a_prompt_of_its_kind_with_its_buttons() -> None:
    visit = Visit(UNKNOWN)
    while visit.check.open:
        prompt = visit.turn.say[-1]
        assert (prompt.kind, prompt.question) == (PromptKind.QUESTION, visit.check.open)
        assert prompt.taps == ask(visit.check.open).taps
        visit.type("skip")
