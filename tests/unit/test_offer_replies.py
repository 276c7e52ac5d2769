"""Replies to an offer of meanings: a number, "yes", "no". None answers the question beneath it."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, HELD_OPEN, UNKNOWN, Visit

from doorround.domain.input_result import By, Heard, OffGrammar, Said
from doorround.domain.values import Choice, Condition, Count, Defect, Value, YesNo
from doorround.messages import offering

BOOT = "someone's put their boot through it"
HOLE = Condition(defects=(Defect(name="hole"),))
DENT = Condition(defects=(Defect(name="damaged"),))
SOUND = Condition()


def offered(key: str, *values: Value, visit: Visit | None = None) -> Visit:
    """A visit at that question, where these meanings have just been offered."""
    visit = visit or Visit(CORRIDOR)
    visit.go_to(key)
    nearest = tuple(
        Heard(by=By.TYPING, said=(Said(question=key, value=each, phrase=BOOT),), words=BOOT)
        for each in values
    )
    visit.take(OffGrammar(by=By.TYPING, words=BOOT, nearest=nearest))
    assert "Is it one of these?" in visit.said[-1]
    return visit


@pytest.mark.parametrize(
    "number",
    ["2", "2.", "#2", "two", "number two", "number 2", "no. 2", "option 2", "yes, the second"],
)
def test_a_meaning_is_chosen_by_its_number(number: str) -> None:
    visit = offered("leaf.here", HOLE, DENT, SOUND)
    visit.type(number)
    assert visit.meaning("leaf.here") == "damaged"


@pytest.mark.parametrize("number", ["4", "number four", "option four", "the fourth one"])
def test_the_number_after_the_last_meaning_is_the_fault_in_my_words(number: str) -> None:
    visit = offered("leaf.here", HOLE, DENT, SOUND)
    assert visit.type(number)[0].startswith("Kept in your words.")
    assert visit.check.answers["leaf.here"].heard == BOOT


@pytest.mark.parametrize("words", ["my words", "in my words", "my own words", "own words"])
def test_a_fault_in_my_words_is_chosen_by_a_word_or_two(words: str) -> None:
    visit = offered("leaf.here", HOLE)
    visit.type(words)
    assert visit.check.answers["leaf.here"].heard == BOOT


def test_a_pass_chosen_by_number_waits_for_a_yes() -> None:
    visit = offered("leaf.here", HOLE, SOUND)
    assert visit.type("2") == [f"Leaf, this side: sound, not “{BOOT}”. Right?"]
    assert visit.meaning("leaf.here") is None


def test_a_number_without_a_button_chooses_nothing() -> None:
    visit = offered("leaf.here", HOLE, DENT)
    assert visit.type("7")[0] == offering.NOTHING_OFFERED
    assert visit.meaning("leaf.here") is None and visit.check.unread[0].words == BOOT


def test_a_bare_number_answers_a_question_that_asks_for_one() -> None:
    for number, means in (("3", 3), ("option 1", 2)):
        visit = offered("hinges.count", Count(number=2), Count(number=4))
        visit.type(number, "yes")
        value = visit.check.answers["hinges.count"].value
        assert isinstance(value, Count) and value.number == means, number


def test_a_number_counts_only_directly_after_the_offer() -> None:
    visit = offered("leaf.here", HOLE, DENT)
    visit.type("help", "2")
    assert visit.meaning("leaf.here") is None


@pytest.mark.parametrize("yes", ["yes", "Yes!", "yes it is", "yeah", "aye", "ok"])
def test_a_yes_to_an_offer_is_asked_which_and_passes_nothing(yes: str) -> None:
    visit = offered("leaf.here", HOLE, DENT)
    taps = visit.turn.say[-1].taps
    assert visit.type(yes) == [offering.WHICH_ONE]
    assert visit.turn.say[-1].taps == taps and visit.meaning("leaf.here") is None
    visit.type("1")
    assert visit.meaning("leaf.here") == "hole"


def test_a_yes_to_an_offer_at_a_yes_or_no_question_does_not_answer_that() -> None:
    visit = offered("mark", YesNo(yes=False), visit=Visit(HELD_OPEN))
    for by in (By.TYPING, By.VOICE):
        said = Said(question="mark", value=YesNo(yes=True), phrase="yes")
        visit.take(Heard(by=by, said=(said,), words="yes"))
        assert visit.said == [offering.WHICH_ONE]
        assert visit.meaning("mark") is None


def test_a_no_to_an_offer_is_none_of_them() -> None:
    for no in ("no", "nah", "No, mate", "none of them"):
        visit = offered("leaf.here", HOLE, DENT)
        assert visit.type(no)[0] == offering.SAY_OTHERWISE, no
        assert visit.check.unread[0].words == BOOT
    visit = offered("mark", YesNo(yes=True), visit=Visit(HELD_OPEN))
    assert visit.type("no")[0] == offering.SAY_OTHERWISE
    assert visit.meaning("mark") is None


def test_where_no_fault_can_be_told_none_of_them_names_no_such_button() -> None:
    key = "register.leaves"
    visit = offered(key, Choice(chosen="one"), visit=Visit(UNKNOWN))
    assert visit.type("no")[0] == offering.SAY_IT_DIFFERENTLY
