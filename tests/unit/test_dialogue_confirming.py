"""What is said back, what waits for a yes, and what a no undoes."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, CUPBOARD, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import PromptKind, Stage
from doorround.domain.input_result import BadAudio, By, Heard, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed


def unsure(visit: Visit, *phrases: str) -> Unsure:
    """Speech that may be one of these phrases, best first."""
    heard = [
        typed(UNDERSTANDING, phrase, expected_input(visit.check), By.VOICE) for phrase in phrases
    ]
    return Unsure(guesses=tuple(each for each in heard if isinstance(each, Heard)))


def advised(heard: Unsure, line: str) -> Unsure:
    """The same, with a hint at the recording."""
    return heard.model_copy(update={"advice": line})


# ---- What is said back


def test_a_sure_pass_is_echoed_so_that_nobody_repeats_it() -> None:
    assert Visit(CORRIDOR).type("all clear") == [
        "Doorway: sound.",
        "Sign on this side: “Fire door keep shut”. Right and readable?",
    ]


def test_every_defect_is_said_back_with_its_place() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    assert visit.type("painted at the top")[0] == "Seals: painted over, top."
    visit.go_to("hinges.fixings")
    assert (
        visit.type("two screws missing in the top hinge")[0]
        == "Hinges: 2 screws missing, top hinge."
    )
    visit.go_to("leaf.beyond")
    assert visit.type("hole by the handle")[0] == "Leaf, other side: a hole in it, by the handle."


def test_several_answers_at_once_are_all_said_back() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    assert (
        visit.type("seals fine, three hinges marked and tight, closer slams")[0]
        == "Seals: sound. Hinges counted: 3. Hinges: sound. Closer from fully open: slams."
    )


def test_what_was_not_checked_is_said_back_with_the_reason() -> None:
    assert (
        Visit(CORRIDOR).go_to("glass.here").type("can't see it, covered")[0]
        == "Glass, this side: not checked: covered."
    )
    assert (
        Visit(CORRIDOR).go_to("gaps.sides").type("no gauge")[0]
        == "Gap at head and sides: not measured."
    )


WEDGE = (
    "ACT NOW. Take the wedge away now and let the door close. A wedged door does not close in a"
    " fire."
)
GLASS = (
    "ACT NOW. Do not swing the door. Keep people away from the glass and tell the supervisor at"
    " once. A competent person replaces it. Fire and smoke pass through a broken pane, and it cuts."
)
AJAR = (
    "ACT NOW. Push it shut and tell the supervisor at once. A competent person adjusts or replaces"
    " the closer. A door that stays ajar does not hold back fire or smoke."
)


@pytest.mark.parametrize(
    ("key", "phrase", "told"),
    [
        ("clear", "wedged open", WEDGE),
        ("glass.here", "broken glass", GLASS),
        ("closer.ajar", "stops short", AJAR),
    ],
)
def test_act_now_says_at_once_what_to_do_and_goes_on(key: str, phrase: str, told: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    visit.type(phrase)
    assert told in visit.said
    assert visit.turn.say[visit.said.index(told)].kind is PromptKind.CAUTION
    assert visit.check.stage in (Stage.ASKING, Stage.SUMMARY) and visit.check.open != key
    assert len(visit.said) > visit.said.index(told) + 1


def test_two_faults_that_ask_for_the_same_at_once_are_told_in_one_caution() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    visit.type("does not close, stops short")
    cautions = [each.text for each in visit.turn.say if each.kind is PromptKind.CAUTION]
    assert cautions == [
        "ACT NOW. Push it shut and tell the supervisor at once. A competent person adjusts or"
        " replaces the closer. A fire door must close by itself. A door that stays ajar does not"
        " hold back fire or smoke."
    ]


# ---- What waits for a yes


@pytest.mark.parametrize("phrase", ["all clear", "wedged open", "cannot check", "does not apply"])
def test_an_unsure_answer_is_read_back_and_answers_nothing_until_yes(phrase: str) -> None:
    visit = Visit(CORRIDOR)
    said = visit.take(unsure(visit, phrase))
    assert said[0].startswith("Doorway: ") and said[0].endswith(". Right?")
    assert visit.turn.say[0].taps == ("yes", "no")
    assert visit.check.answers == {} and visit.turn.enter == ()
    visit.type("yes")
    assert visit.check.answers["clear"].confirmed
    assert visit.check.stage is Stage.ASKING and visit.check.open == "sign.here"


def test_an_answer_that_was_sure_is_not_marked_as_confirmed() -> None:
    visit = Visit(CORRIDOR)
    visit.type("all clear")
    assert not visit.check.answers["clear"].confirmed


def test_no_to_a_read_back_asks_again_and_answers_nothing() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    said = visit.type("no")
    assert said[0] == "Not that, then."
    assert visit.check.open == "clear" and visit.check.answers == {}
    assert visit.check.pending is None


def test_what_may_be_wrong_with_the_recording_is_said_before_the_read_back_and_once_a_visit() -> (
    None
):
    visit = Visit(CORRIDOR)
    loud = "Too loud. Hold the phone a forearm away."
    quiet = "Too quiet. Hold the phone nearer."
    assert visit.take(advised(unsure(visit, "all clear"), loud)) == [loud, "Doorway: sound. Right?"]
    visit.type("yes")
    assert visit.take(advised(unsure(visit, "unreadable"), loud)) == [
        "Sign, this side: cannot be read. Right?"
    ]
    visit.type("yes")
    assert visit.take(advised(unsure(visit, "undamaged and firm"), quiet))[0] == quiet


def test_a_hint_takes_no_answer_and_no_yes() -> None:
    visit = Visit(CORRIDOR)
    visit.take(advised(unsure(visit, "all clear"), "Too loud. Hold the phone a forearm away."))
    assert visit.check.answers == {} and visit.check.stage is Stage.CONFIRMING
    visit.take(advised(unsure(visit, "yes"), "Too quiet. Hold the phone nearer."))
    assert visit.check.answers == {} and visit.check.stage is Stage.CONFIRMING


def test_a_refused_guess_is_never_offered_again_at_the_same_question() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.type("no")
    said = visit.take(unsure(visit, "all clear", "wedged open"))
    assert said == ["Doorway: wedged open. Right?"]
    visit.type("no")
    assert visit.check.open == "sign.here" and visit.check.put_off == ("clear",)


def test_where_all_was_refused_nothing_is_offered() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.type("no")
    said = visit.take(unsure(visit, "all clear"))
    assert said[0] == "I'm not sure what you said."
    assert visit.check.stage is Stage.ASKING


def test_a_guess_is_refused_by_its_meaning_and_not_only_by_its_words() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.type("no")
    assert visit.take(unsure(visit, "nothing there"))[0] == "I'm not sure what you said."


def test_what_was_refused_at_one_question_may_be_offered_at_the_next() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    visit.take(unsure(visit, "slams"))
    visit.type("no", "closes fully")
    assert visit.take(unsure(visit, "slams")) == ["Closer from 15 degrees: slams. Right?"]


@pytest.mark.parametrize(
    "heard",
    [Silence(), OffGrammar(), OffGrammar(words="mhm"), BadAudio(advice="Too quiet.")],
    ids=lambda each: each.kind,
)
def test_a_read_back_is_never_taken_as_confirmed_by_silence_or_noise(heard: object) -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    for _ in range(5):
        visit.take(heard)  # type: ignore[arg-type]
        assert visit.check.answers == {}


def test_a_read_back_not_understood_is_asked_again_then_dropped() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    assert visit.take(Silence()) == [
        "I didn't hear anything. Tap or say yes or no: Doorway: sound?"
    ]
    visit.take(Silence())
    visit.take(Silence())
    assert visit.check.stage is Stage.ASKING and visit.check.pending is None
    assert visit.check.answers == {}


def test_an_unsure_yes_confirms_nothing() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.take(unsure(visit, "yes"))
    assert visit.check.answers == {}
    assert visit.check.stage is Stage.CONFIRMING


@pytest.mark.parametrize("yes_or_fine", ["okay", "fine", "all right", "good", "perfect"])
def test_okay_to_a_read_back_of_a_fault_never_becomes_a_pass(yes_or_fine: str) -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("I think painted over")
    for _ in range(3):
        assert visit.type(yes_or_fine) == ["Seals: sound, not painted over. Right?"]
        assert visit.meaning("seals") is None
    visit.type("no", "painted over")
    assert visit.meaning("seals") == "painted"


def test_the_right_answer_said_to_a_wrong_read_back_replaces_it() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.count")
    visit.take(unsure(visit, "three"))
    assert visit.type("two")[0] == "Hinges counted: 2 hinges, 3 expected."
    assert visit.meaning("hinges.count") == "2"
    assert visit.check.pending is None


def test_the_same_said_again_is_as_good_as_yes() -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.type("nothing there")
    assert visit.check.answers["clear"].confirmed


def test_a_doubt_said_twice_is_still_a_doubt() -> None:
    visit = Visit(CORRIDOR)
    visit.type("probably clear", "probably clear")
    assert visit.check.answers == {}


@pytest.mark.parametrize(
    "command", ["skip", "help", "what can I say", "undo", "pause", "go back", "change hinges"]
)
def test_a_command_at_a_read_back_drops_what_waited(command: str) -> None:
    visit = Visit(CORRIDOR)
    visit.take(unsure(visit, "all clear"))
    visit.type(command)
    assert visit.check.pending is None and visit.check.answers == {}


def test_repeat_at_a_read_back_repeats_the_read_back() -> None:
    visit = Visit(CORRIDOR)
    said = visit.take(unsure(visit, "all clear"))
    assert visit.type("repeat") == said
    assert visit.check.stage is Stage.CONFIRMING


def test_yes_and_no_without_a_read_back_answer_nothing() -> None:
    visit = Visit(CUPBOARD).go_to("clear")
    before = visit.check.answers
    for words in ("yes", "no", "that is right"):
        visit.type(words)
        assert visit.check.answers == before
