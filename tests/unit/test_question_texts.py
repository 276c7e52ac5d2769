"""Every question and fault has its words: in full and tersely, help, buttons, source."""

from __future__ import annotations

import re

import pytest
from visits import (
    CHECKLIST,
    CORRIDOR,
    PASSES,
    at,
    understood,
)

from doorround.domain.door import Door

QUESTIONS = {question.key: question for question in CHECKLIST.question}


def heard(fire_door: Door) -> list[str]:
    return [question.key for question in CHECKLIST.for_door(fire_door)]


# ---- The data hangs together


def test_every_question_can_be_asked_in_full_and_tersely_and_helps_on() -> None:
    for key, question in QUESTIONS.items():
        assert question.ask.endswith("?") and question.terse.endswith("?"), key
        assert len(question.terse) <= 40 and len(question.terse) <= len(question.ask), key
        assert 20 <= len(question.help) <= 160 and question.example, key
        assert len(question.ask) <= 110, key


def test_every_condition_offers_a_pass_and_a_fault_on_its_buttons() -> None:
    for question in CHECKLIST.question:
        if question.kind == "condition":
            said = [understood(tap, at(question.key)) for tap in question.taps]
            assert [(question.key, "sound")] in said, question.key
            assert any(each != [(question.key, "sound")] for each in said), question.key


def test_every_fault_says_what_why_what_to_do_and_by_which_source() -> None:
    for fault in CHECKLIST.defect:
        assert fault.words and fault.why.endswith(".") and fault.do_now.endswith("."), fault.name
        law = r"GOV\.UK|NFPA 80|BS |Approved Document|Trade|Regulatory Reform"
        assert re.search(rf"{law}|common practice, no source", fault.source)
        published = "common practice" not in fault.source
        assert not published or "secondary" in fault.source or "from memory" in fault.source, (
            fault.source
        )


def test_every_component_is_asked_about_somewhere() -> None:
    assert {question.component for question in CHECKLIST.question} == {
        part.key for part in CHECKLIST.component
    }


FIVE_THINGS = {
    "alterations or damage to glazing": (
        {"glass.here", "glass.beyond"},
        {("glass", "cracked"), ("glass", "wrong")},
    ),
    "gaps around the frame, seals and hinges fitted correctly": (
        {"gaps.sides", "gaps.threshold", "seals", "hinges.count", "hinges.fixings"},
        {("frame", "wall_gap"), ("seals", "missing"), ("hinges", "screw_missing")},
    ),
    "the closer shuts the door": ({"closer.full", "closer.ajar"}, {("closer", "not_closing")}),
    "the door closes correctly around the whole frame": (
        {"closer.full", "closer.ajar"},
        {("closer", "stops_short"), ("leaf", "binding")},
    ),
    "no visible damage to door or closer": (
        {"leaf.here", "leaf.beyond", "frame.here", "frame.beyond", "closer.full"},
        {("leaf", "damaged"), ("frame", "damaged"), ("closer", "broken"), ("closer", "leaking")},
    ),
}


@pytest.mark.parametrize("thing", FIVE_THINGS)
def test_each_of_the_five_things_of_the_factsheet_is_asked_and_can_be_found_wrong(
    thing: str,
) -> None:
    """GOV.UK / Home Office factsheet on regulation 10."""
    questions, faults = FIVE_THINGS[thing]
    assert questions <= set(heard(CORRIDOR))
    assert faults <= {(fault.component, fault.name) for fault in CHECKLIST.defect}


def test_the_table_of_passes_covers_every_question() -> None:
    assert set(PASSES) == set(QUESTIONS)
