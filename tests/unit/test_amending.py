"""A changed message amends what it gave, and is no easier way to a pass; a reply goes to its
question.
"""

from __future__ import annotations

from visits import CHECKLIST, CORRIDOR, NOON, UNDERSTANDING

from doorround.dialogue.amending import amend, expected_in_change, stand_at
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import start_check, take_turn
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By
from doorround.domain.values import Condition
from doorround.hearing.session.interpretation import typed
from doorround.messages.noting import CHANGED_SINCE, ONLY_ANSWERS, UNCHANGED


class Talk:
    """A visit at the corridor door, typed."""

    def __init__(self, *words: str) -> None:
        self.check = start_check("c", CORRIDOR, "Ines", CHECKLIST, NOON).check
        for each in words:
            self.say(each)

    def say(self, words: str, question: str | None = None) -> list[str]:
        check = stand_at(self.check, question) if question else self.check
        return self._took(
            take_turn(check, typed(UNDERSTANDING, words, expected_input(check)), NOON)
        )

    def change(self, ids: tuple[str, ...], words: str) -> list[str]:
        heard = typed(UNDERSTANDING, words, expected_in_change(self.check, ids), By.EDIT)
        return self._took(amend(self.check, ids, heard, NOON))

    def _took(self, turn) -> list[str]:
        self.check = turn.check
        self.entered = turn.enter
        return [prompt.text for prompt in turn.say]

    def value(self, key: str):
        return self.check.answers[key].value


SIGN = ("all clear", "right and readable", "undamaged and firm", "undamaged")
LEAF = ("leaf.here#1",)


def test_a_changed_message_amends_its_answer_with_an_entry_of_its_own():
    talk = Talk(*SIGN)
    said = talk.change(LEAF, "cracked")
    assert said[0] == "Leaf, this side: split." and "glass" in said[-1]
    answer = next(entry for entry in talk.entered if entry.kind is EntryKind.ANSWERED)
    assert (answer.body["id"], answer.body["corrects"]) == ("leaf.here#2", "leaf.here#1")
    assert answer.body["by"] == "changed message"
    assert [entry.kind for entry in talk.entered] == [EntryKind.ANSWERED, EntryKind.FOUND]
    assert talk.check.open == "glass.here" and talk.check.stage is Stage.ASKING


def test_a_pass_by_a_change_waits_for_a_yes():
    talk = Talk(*SIGN[:3], "cracked")
    assert talk.change(LEAF, "undamaged") == ["Leaf, this side: sound, not split. Right?"]
    assert talk.entered == () and not talk.value("leaf.here").sound
    talk.say("yes")
    assert talk.value("leaf.here") == Condition() and talk.check.open == "glass.here"


def test_a_pass_by_a_change_that_is_refused_leaves_the_fault():
    talk = Talk(*SIGN[:3], "cracked")
    talk.change(LEAF, "undamaged")
    talk.say("no")
    assert not talk.value("leaf.here").sound and talk.check.open == "leaf.here"
    assert talk.say("skip")[0] == "Left as it was." and talk.check.open == "glass.here"


def test_a_slip_of_the_finger_in_a_change_passes_nothing():
    talk = Talk(*SIGN[:3], "cracked")
    assert talk.change(LEAF, "undamagd")[-1].endswith("Right?")
    assert not talk.value("leaf.here").sound


def test_what_is_no_answer_changes_nothing_and_costs_no_turn():
    talk = Talk(*SIGN)
    before = talk.check
    assert talk.change(LEAF, "lunch") == [
        "“lunch” doesn't answer Leaf, this side. What you said before stands: sound."
    ]
    for words, line in (
        ("skip", ONLY_ANSWERS),
        ("finish check", ONLY_ANSWERS),
        ("undamaged", UNCHANGED),
    ):
        assert talk.change(LEAF, words) == [line]
    assert talk.check == before and talk.entered == ()


def test_an_answer_given_anew_since_is_not_changed_by_the_old_message():
    talk = Talk(*SIGN, "change leaf", "cracked")
    assert talk.change(LEAF, "undamaged") == [CHANGED_SINCE]
    assert not talk.value("leaf.here").sound


def test_a_message_that_says_less_takes_the_rest_back_and_asks_it_again():
    talk = Talk(*SIGN[:2], "frame undamaged and firm, leaf undamaged")
    said = talk.change(("frame.here#1", "leaf.here#1"), "frame undamaged and firm")
    assert said[0].startswith("Leaf, this side: taken back")
    assert "leaf.here" not in talk.check.answers and talk.check.open == "leaf.here"
    assert talk.value("frame.here") == Condition()


def test_a_message_of_two_answers_changes_the_one_that_differs():
    talk = Talk(*SIGN[:2], "frame undamaged and firm, leaf undamaged")
    talk.change(("frame.here#1", "leaf.here#1"), "frame undamaged and firm, leaf cracked")
    assert [e.body["id"] for e in talk.entered if e.kind is EntryKind.ANSWERED] == ["leaf.here#2"]


def test_nothing_is_changed_while_the_check_is_paused():
    talk = Talk(*SIGN, "pause check")
    assert talk.change(LEAF, "cracked") == [
        "The check is paused. Carry on with it, then edit your message."
    ]
    assert talk.check.stage is Stage.PAUSED and talk.value("leaf.here").sound


def test_a_reply_to_a_question_answered_since_corrects_it_and_the_talk_goes_on_where_it_stood():
    talk = Talk(*SIGN)
    talk.say("cracked", question="leaf.here")
    assert talk.check.answers["leaf.here"].corrects == "leaf.here#1"
    assert not talk.value("leaf.here").sound and talk.check.open == "glass.here"


def test_a_reply_to_a_question_that_was_skipped_answers_it():
    talk = Talk(*SIGN[:3], "skip")
    talk.say("undamaged", question="leaf.here")
    assert (
        talk.value("leaf.here") == Condition()
        and talk.check.open == "glass.here"
        and not talk.check.put_off
    )


def test_a_yes_to_an_earlier_question_never_confirms_what_is_read_back_now():
    talk = Talk(*SIGN, "good")
    assert (
        talk.check.stage is Stage.CONFIRMING and talk.check.pending.said[0].question == "glass.here"
    )
    talk.say("yes", question="clear")
    assert "glass.here" not in talk.check.answers
