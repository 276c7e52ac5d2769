"""A danger after an answer makes one message in a messenger, which leads with what to do now."""

from __future__ import annotations

from visits import HELD_OPEN, Visit

from doorround.channels.messenger.outbound.outgoing import MAX_TEXT, messages
from doorround.domain.check import Prompt, PromptKind

ACT_NOW = "ACT NOW. Take the wedge away now."


def told(*prompts: Prompt) -> list[tuple[str, tuple[str, ...]]]:
    return [(each.text, each.taps) for each in messages(prompts)]


def test_a_wedge_makes_one_message_with_the_next_question_and_all_buttons() -> None:
    visit = Visit()
    visit.type("wedged open")
    [message] = messages(visit.turn.say)
    first, echo, question = message.text.split("\n")
    assert first.startswith("⚠️ ACT NOW. Take the wedge away now and let the door close.")
    assert echo == "Doorway: wedged open." and question.startswith("Sign on this side")
    assert message.taps[0] == "right and readable"
    assert message.taps[-1] == "no, took the wedge out"
    assert message.asks == "sign.here" and not message.confirms


def test_a_danger_that_the_caretaker_cannot_put_right_leads_too() -> None:
    visit = Visit(HELD_OPEN).go_to("closer.full")
    visit.type("does not close")
    [message] = messages(visit.turn.say)
    assert message.text.startswith("⚠️ ACT NOW.")


def test_two_dangers_are_both_in_front() -> None:
    visit = Visit()
    visit.type("wedged open, boxes against it")
    [message] = messages(visit.turn.say)
    assert [line.startswith("⚠️ ACT NOW.") for line in message.text.split("\n")[:2]] == [True, True]
    assert message.taps[-2:] == ("no, took the wedge out", "no, moved the boxes")


def test_what_one_message_cannot_hold_stays_two() -> None:
    danger = Prompt(text=ACT_NOW, kind=PromptKind.CAUTION, taps=("no, took the wedge out",))
    question = Prompt(text="a " * (MAX_TEXT // 2), kind=PromptKind.QUESTION, taps=("yes",))
    found = told(danger, question)
    assert found[0] == (f"⚠️ {ACT_NOW}", ("no, took the wedge out",)) and len(found) > 1


def test_a_read_back_keeps_its_buttons_for_itself() -> None:
    danger = Prompt(text=ACT_NOW, kind=PromptKind.CAUTION, taps=("no, took the wedge out",))
    asked = Prompt(text="Leaf: sound. Right?", kind=PromptKind.READ_BACK, taps=("yes", "no"))
    assert [taps for _, taps in told(danger, asked)] == [("no, took the wedge out",), ("yes", "no")]


def test_other_cautions_stay_where_they_were() -> None:
    caution = Prompt(text="This check sees what eyes can see.", kind=PromptKind.CAUTION)
    door = Prompt(text="Door 12.")
    question = Prompt(text="Clear?", kind=PromptKind.QUESTION, taps=("all clear",))
    [(text, _)] = told(door, caution, question)
    assert text == "Door 12.\n⚠️ This check sees what eyes can see.\nClear?"
