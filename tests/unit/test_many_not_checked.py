"""Many parts not checked are told in a line, and "what is left" names them, page by page."""

from __future__ import annotations

from visits import CORRIDOR, PAIR, Visit

from doorround.dialogue.commands import MAX_PARTS
from doorround.domain.door import Door
from doorround.domain.parts import part_name


def test_a_door_finished_at_once_is_summed_up_in_lines_that_can_be_read() -> None:
    visit = Visit(PAIR)
    said = visit.type("finish")
    (line,) = [each for each in said if each.startswith("Not checked")]
    left = len(visit.check.unanswered)
    assert line == f"Not checked: {left} parts. “What is left” names them."


def test_parts_with_a_reason_are_named_among_many() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("cannot check covered", "finish")
    (line,) = [each for each in visit.said if each.startswith("Not checked")]
    assert line.startswith("Not checked: Leaf, this side (covered); ")
    assert line.endswith(" parts more. “What is left” names them.")


def test_what_is_left_names_every_part_page_by_page_and_begins_again() -> None:
    visit = Visit(PAIR)
    left = [part_name(each, visit.check.checklist) for each in visit.check.unanswered]
    told: list[str] = []
    for _ in range(0, len(left), MAX_PARTS):
        told += visit.type("what is left")[0].split("Left: ")[1].split(".")[0].split("; ")
    assert told == left
    assert visit.type("what is left")[0].split("Left: ")[1].startswith(left[0])


def test_an_answer_between_begins_the_pages_again() -> None:
    visit = Visit(PAIR)
    visit.type("what is left", "all clear")
    first = part_name(visit.check.unanswered[0], visit.check.checklist)
    assert visit.type("what is left")[0].split("Left: ")[1].startswith(first)


def test_a_door_of_unknown_leaves_hears_nothing_of_a_second_and_is_not_shown_to_be_fit() -> None:
    visit = Visit(Door(number="1"))
    assert not [each.key for each in visit.check.unanswered if each.key.endswith("_second")]
    said = visit.type("finish")
    assert "Not known, and needed: Rating; Leaves." in said
    assert any("not shown to be fit" in line for line in said)
