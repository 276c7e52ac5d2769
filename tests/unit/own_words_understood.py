"""Words in a caretaker's own way, understood at a question, for the tests of understanding."""

from __future__ import annotations

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import Said
from doorround.domain.values import Condition, Measure, YesNo
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import Understood
from doorround.understanding.word_data import examples_of, part_words

CHECKLIST = load_checklist()
UNDERSTANDING = Understanding(CHECKLIST)
QUESTION_OF = {
    question.component: question.key
    for question in reversed(CHECKLIST.question)
    if question.kind == "condition"
}


def understand(key: str, words: str) -> Understood:
    question = CHECKLIST.ask(key)
    others = tuple(each for each in CHECKLIST.question if each.key != key)
    allowed = ExpectedInput(Stage.ASKING, question, others, parts=CHECKLIST.question)
    return UNDERSTANDING.understand(question, words, allowed)


def passes(said: Said) -> bool:
    value = said.value
    if isinstance(value, YesNo):
        return value.yes
    return isinstance(value, Condition) and value.passes


def in_words(said: Said) -> str:
    """A meaning as own_words.toml has it."""
    value = said.value
    if isinstance(value, Condition) and value.sound:
        return said.phrase if said.partial else "sound"
    if isinstance(value, Condition):
        fault = value.defects[0]
        number = f"{fault.count} " if fault.count else ""
        return f"{number}{fault.name}" + (", made good" if fault.made_good else "")
    if isinstance(value, Measure):
        return f"{value.amount} {value.unit}"
    if isinstance(value, YesNo):
        return "yes" if value.yes else "no"
    told = value.model_dump()
    plain = {"cannot_check": "cannot", "not_measured": "not measured"}
    return plain.get(told["kind"]) or str(told.get("chosen") or told.get("number"))


SAID_OF_PARTS = [
    (component, meaning, words)
    for component in part_words()
    if component in QUESTION_OF
    for meaning, words in examples_of(component)
]
