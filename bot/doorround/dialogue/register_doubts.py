"""Answers that contradict the register: the bot says so at once and asks what is there."""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.domain.judging.contradictions import FIELDS, QUESTIONS, contradictions
from doorround.domain.parts import part_name
from doorround.messages import asking


def ask_what_is_there(builder: TurnBuilder, taken: tuple[str, ...]) -> None:
    """Ask once what is there if an answer just given contradicts the register."""
    check = builder.check
    values = {key: answer.value for key, answer in check.answers.items()}
    known = {question.key for question in check.checklist.question}
    for each in contradictions(check.door, values):
        key = QUESTIONS[each.field]
        if each.question not in taken or key not in known or key in check.redo:
            continue
        part = part_name(check.checklist.ask(each.question), check.checklist)
        registered = f"{FIELDS[each.field]} “{getattr(check.door, each.field)}”"
        builder.say(asking.contradicts_register(part, registered))
        builder.set(redo=(key, *builder.check.redo))
