"""Changing the register in a check, "change rating", "change door": the value is asked for and
judged again, and stays as it was until it is answered.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, Visit, door

from doorround.domain.entries import EntryKind
from doorround.messages.asking import WHAT_TO_CHANGE


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("change rating", "register.rating"),
        ("Change the fire rating.", "register.rating"),
        ("change use", "register.use"),
        ("change material", "register.material"),
        ("change kind of closer", "register.closer"),
        ("change kind of glass", "register.glazing"),
        ("change width", "register.width"),
    ],
)
def test_a_field_of_the_register_is_asked_for_by_its_name(words: str, key: str) -> None:
    visit = Visit(CORRIDOR)
    waiting = visit.check.open
    visit.type(words)
    assert visit.check.open == key
    assert visit.check.door == CORRIDOR and visit.check.answers == {}
    visit.type("skip")
    assert visit.check.door == CORRIDOR
    assert waiting in [question.key for question in visit.check.unanswered]


def test_the_new_value_goes_into_the_register_and_the_talk_goes_on_where_it_was() -> None:
    visit = Visit(CORRIDOR)
    waiting = visit.check.open
    visit.type("change rating")
    visit.type("sixty smoke")
    assert str(visit.check.door.rating) == "FD60S" and visit.check.open == waiting
    [changed] = [entry for entry in visit.turn.enter if entry.kind is EntryKind.DOOR_CHANGED]
    assert changed.body["learnt"]["field"] == "rating"


def test_what_was_judged_by_the_old_value_is_judged_anew() -> None:
    """A gap of 5 mm at the threshold: never for a door that holds smoke (BS 8214:2016, 12.3,
    secondary), asked of its evidence where it need not.
    """
    visit = Visit(door(rating="FD30", seals="plain intumescent")).go_to("gaps.threshold")
    visit.type("5 mm")
    before = [each.verdict for each in visit.check.findings["gaps.threshold"]]
    visit.type("change rating")
    visit.type("thirty smoke")
    after = [each.verdict for each in visit.check.findings["gaps.threshold"]]
    assert after != before


def test_not_known_takes_a_value_back_so_that_it_is_asked_again() -> None:
    visit = Visit(CORRIDOR)
    visit.type("change rating")
    visit.type("not known")
    assert visit.check.door.rating is None


def test_change_door_offers_what_may_be_otherwise_and_leaves_the_question_open() -> None:
    visit = Visit(CORRIDOR)
    waiting = visit.check.open
    visit.type("change door")
    assert visit.turn.say[0].text == WHAT_TO_CHANGE
    taps = visit.turn.say[0].taps
    assert "change rating" in taps and "change use" in taps
    assert visit.check.open == waiting
    for tap in taps:
        again = Visit(CORRIDOR)
        again.type(tap)
        assert (again.check.open or "").startswith("register."), tap


def test_a_part_keeps_its_own_change_and_other_words_are_no_order() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("painted over")
    visit.type("change seals")
    assert visit.check.open == "seals"
    before = visit.check.open
    visit.type("change colour")
    assert visit.check.open == before and visit.check.door == CORRIDOR


@pytest.mark.parametrize("answer", ["sixty smoke", "not known"])
def test_undo_puts_back_what_the_register_said_and_does_not_ask_it_again(answer: str) -> None:
    visit = Visit(CORRIDOR)
    waiting, rating = visit.check.open, visit.check.door.rating
    visit.type("change rating")
    visit.type(answer)
    assert visit.check.door.rating != rating
    visit.type("undo")
    assert visit.check.door == CORRIDOR and visit.check.open == waiting
    assert "register.rating" not in visit.check.answers
    [*_, changed] = [each for each in visit.turn.enter if each.kind is EntryKind.DOOR_CHANGED]
    assert changed.body["door"]["rating"] == CORRIDOR.model_dump(mode="json")["rating"]


def test_undo_of_the_second_change_puts_back_what_stood_before_the_visit() -> None:
    visit = Visit(CORRIDOR)
    for words in ("change rating", "sixty", "change rating", "sixty smoke", "undo"):
        visit.type(words)
    assert visit.check.door == CORRIDOR


def test_undo_asks_again_what_the_register_never_knew() -> None:
    visit = Visit(door(material=None)).go_to("register.material")
    visit.type("steel")
    visit.type("undo")
    assert visit.check.door.material is None and visit.check.open == "register.material"
