"""A fault of the face that is not asked about, in words that the grammar does not cover."""

from __future__ import annotations

from dataclasses import replace

import pytest
from own_words_typed import typed_on
from visits import CORRIDOR, Visit, door

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import By, Heard, OffGrammar, Said
from doorround.domain.values import Condition, Defect
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import Understood

CHECKLIST = load_checklist()
SPLIT = Said(
    question="frame.here", value=Condition(defects=(Defect(name="split"),)), phrase="split"
)
FACES = ("corridor side", "room side")


def understand(key: str, words: str, faces: tuple[str, str] = FACES) -> Understood:
    expected = ExpectedInput(Stage.ASKING, CHECKLIST.ask(key), parts=CHECKLIST.question)
    expected = replace(expected, faces=faces)
    return Understanding(CHECKLIST).understand(expected.open, words, expected)


def test_a_fault_of_the_face_named_is_never_one_of_the_face_asked_about() -> None:
    for key, words, twin in (
        ("leaf.beyond", "leaf on the corridor side has a hole in it", "leaf.here"),
        ("frame.here", "on the room side the frame is split", "frame.beyond"),
    ):
        found = understand(key, words)
        meant = [*found.meanings, *(each for offer in found.offers for each in offer.meaning)]
        assert found.kind != "entered" and {each.question for each in meant} == {twin}


def test_the_grammar_takes_no_name_of_the_first_face_for_the_one_one_stands_before() -> None:
    visit = Visit(door(first_side="corridor side")).go_to("leaf.beyond")
    visit.type("leaf on the corridor side has a hole in it")
    assert visit.meaning("leaf.beyond") is None
    visit.type("leaf on the room side has a hole in it")
    assert visit.meaning("leaf.beyond") == "hole"


def test_the_face_asked_about_stays_where_it_is_named() -> None:
    found = understand("leaf.beyond", "leaf on the room side has a hole in it")
    assert {each.question for each in found.meanings} <= {"leaf.beyond"}


def test_a_note_keeps_the_name_of_the_face_and_its_button_is_understood() -> None:
    visit = Visit(door(first_side="corridor side")).go_to("frame.here")
    visit.type("note corridor side wants paint")
    assert "corridor side wants paint" in str(visit.entered[-1].body)
    near = Heard(by=By.TYPING, said=(SPLIT,), words="gone at the foot", engine="typed")
    visit.take(OffGrammar(by=By.TYPING, words="gone at the foot", nearest=(near,)))
    visit.tap("Frame, corridor side: split")
    assert visit.meaning("frame.here") == "split"


@pytest.mark.parametrize(
    ("words", "here", "beyond"),
    [
        ("other side is split, this side is fine", "sound", "split"),
        ("split on the other side, fine on this side", "sound", "split"),
        ("this side's fine but the other side's got a crack in it", "sound", "split"),
        ("the other side is fine, this side is split", "split", "sound"),
        ("nice and tidy this side, far side has a hole", "sound", "hole"),
    ],
)
def test_what_is_told_of_each_face_is_read_back_for_each(
    words: str, here: str, beyond: str
) -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    typed_on(visit, words)
    assert not {"leaf.here", "leaf.beyond"} & visit.check.answers.keys()
    visit.type("yes")
    assert (visit.meaning("leaf.here"), visit.meaning("leaf.beyond")) == (here, beyond)


def test_what_is_told_of_each_face_goes_by_their_names_from_behind_too() -> None:
    found = understand("frame.beyond", "corridor side is split, room side is fine")
    told = {each.question: each.value for each in found.meanings}
    assert found.kind == "read_back" and told["frame.beyond"] == Condition()
    assert told["frame.here"] == Condition(defects=(Defect(name="split"),))


def test_the_other_side_of_it_is_the_other_face() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    typed_on(visit, "other side of it is split")
    assert visit.check.pending is not None
    assert {said.question for said in visit.check.pending.said} == {"leaf.beyond"}
