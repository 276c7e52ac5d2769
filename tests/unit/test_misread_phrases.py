"""Phrases that were once misread as their opposite, or as another face, leaf or part: exceptions
with "except", statements about the other face or leaf, and things for which the checklist has no
name.

Common speech, no source.
"""

from __future__ import annotations

import pytest
from own_words_understood import in_words, passes, understand
from visits import CHECKLIST, CORRIDOR, PAIR, Visit, in_short, visit_at

from doorround.channels.talk.second_reading import read_on
from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.input_result import OffGrammar
from doorround.hearing.session.interpretation import typed
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import Understood
from tests.read_once import UNDERSTANDING

READING = Understanding(CHECKLIST)


def tell(visit: Visit, *lines: str) -> list[str]:
    """Lines typed as in a talk: by the grammar, else by the second understanding."""
    for line in lines:
        heard = typed(UNDERSTANDING, line, expected_input(visit.check))
        if isinstance(heard, OffGrammar):
            visit.take(read_on(heard, READING.understand, visit.check))
        else:
            visit.take(heard)
    return visit.said


def offers_pass(found: Understood) -> bool:
    return any(passes(said) for offer in found.offers for said in offer.meaning)


@pytest.mark.parametrize(
    "words",
    [
        "no, split on the other side",
        "sorry, split on the other side",
        "no, split on the far side",
        "no, warped on the other side",
        "wait, split other side",
    ],
)
def test_a_fault_of_the_other_face_behind_a_pass_is_put_to_that_face(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    fault = "warped" if "warped" in words else "split"
    tell(visit, "undamaged", words)
    assert visit.said[-1] == f"Leaf, other side: {fault}. Right?"
    tell(visit, "yes")
    assert (visit.meaning("leaf.here"), visit.meaning("leaf.beyond")) == ("sound", fault)
    assert visit.check.open == "glass.here"


@pytest.mark.parametrize(
    ("key", "words", "fault"),
    [
        ("leaf.here", "it's split down the middle on the other side", "split"),
        ("leaf.here", "some numbskull's split it on the far side", "split"),
        ("frame.here", "jamb's split on the other side", "split"),
        ("leaf.here", "a fist has gone through it on the other side", "hole"),
    ],
)
def test_a_fault_told_of_the_other_face_is_never_entered_of_this_one(
    key: str, words: str, fault: str
) -> None:
    found = understand(key, words)
    meant = [*found.meanings, *(said for offer in found.offers for said in offer.meaning)]
    assert found.kind in ("read_back", "offered"), found
    assert {said.question for said in meant} == {key.replace("here", "beyond")}, found
    assert in_words(meant[0]) == fault


@pytest.mark.parametrize(
    "words", ["split right through to the other side", "split on the other side of the handle"]
)
def test_the_other_side_of_something_is_not_the_other_face(words: str) -> None:
    assert {said.question for said in understand("leaf.here", words).meanings} == {"leaf.here"}


@pytest.mark.parametrize(
    "words",
    [
        "let go when I yanked it",
        "it let go when I yanked it",
        "lets go with a yank",
        "came off when I yanked it",
        "released when I yanked it",
        "popped off when I yanked it",
        "it let go when I gave it a yank",
        "let go when I pulled",
        "released when I pulled the door",
        "dropped off when I pulled hard",
        "pulled it off easily",
    ],
)
def test_what_let_go_is_not_read_back_as_held(words: str) -> None:
    found = understand("hold_open", words)
    assert found.kind == "read_back" and in_words(found.meanings[0]) == "sound", found


@pytest.mark.parametrize(
    "words",
    [
        "had to yank it",
        "only let go when I yanked it",
        "only lets go when I pull it",
        "would not let go till I yanked it",
        "didn't let go when I yanked it",
        "never let go when I yanked it",
        "let go in the end when I yanked it",
    ],
)
def test_what_let_go_only_by_force_is_never_read_back_as_sound(words: str) -> None:
    found = understand("hold_open", words)
    assert not (found.kind in ("read_back", "entered") and all(map(passes, found.meanings))), found
    assert not offers_pass(found), found


@pytest.mark.parametrize("words", ["took a good yank", "took a good yank but it let go"])
def test_what_took_a_yank_is_offered_and_not_taken_for_either(words: str) -> None:
    found = understand("hold_open", words)
    assert found.kind == "offered", found
    assert in_words(found.offers[0].meaning[0]) == "not_releasing"


def test_bar_none_takes_nothing_out() -> None:
    found = understand("closer.full", "shuts bar none")
    assert found.kind == "read_back" and in_words(found.meanings[0]) == "sound", found
    found = understand("closer.full", "closes bar the last inch")
    assert in_words(found.meanings[0]) == "stops_short", found


@pytest.mark.parametrize(
    "words",
    [
        "glazing seal missing",
        "glazing gasket missing",
        "the glazing gasket's gone",
        "missing glazing seal",
        "no glazing seal",
        "rubber seal missing",
        "seal gone",
        "gasket perished",
        "the seal round the glass has gone",
        "rubber's coming out round the glass",
        "seal round the pane is hanging out",
    ],
)
@pytest.mark.parametrize("key", ["glass.here", "glass.beyond", "screens"])
def test_a_glazing_seal_that_is_missing_is_a_fault_of_its_own(key: str, words: str) -> None:
    visit = visit_at(key)
    tell(visit, words)
    waiting = [said.value for said in visit.check.pending.said] if visit.check.pending else []
    told = [in_short(value) for value in waiting] or [visit.meaning(key)]
    assert told == ["glazing_seal"], visit.said


@pytest.mark.parametrize(
    ("key", "words"),
    [
        (key, f"{good} {left_out}")
        for key, good in (("closer.full", "closes fully"), ("closer.ajar", "shuts"))
        for left_out in (
            "barring a draught",
            "bar a draught",
            "barring the wind",
            "except in a draught",
            "except when it's windy",
            "unless there's a draught",
            "apart from the wind",
            "but for a draught",
        )
    ],
)
def test_a_draught_that_is_left_out_is_no_fault_and_no_pass(key: str, words: str) -> None:
    found = understand(key, words)
    assert found.kind == "offered" and not offers_pass(found), found


@pytest.mark.parametrize("words", ["It came off in my hand", "came away in my hand"])
def test_what_came_off_in_a_hand_offers_no_pass(words: str) -> None:
    for question in CHECKLIST.question:
        if question.kind == "condition":
            found = understand(question.key, words)
            told = [*found.meanings, *(said for offer in found.offers for said in offer.meaning)]
            assert not any(map(passes, told)), (question.key, found)


@pytest.mark.parametrize(
    ("words", "split"),
    [
        ("First leaf is ok, second leaf has a split", "leaf.here_second"),
        ("the first leaf is fine but the second leaf has a crack in it", "leaf.here_second"),
        ("second leaf's got a split, first leaf is ok", "leaf.here_second"),
        ("first leaf has a split, second leaf is ok", "leaf.here"),
    ],
)
def test_each_leaf_of_a_pair_has_what_is_told_of_it(words: str, split: str) -> None:
    visit = Visit(PAIR).go_to("leaf.here")
    tell(visit, words)
    if visit.check.stage is Stage.CONFIRMING:
        assert "leaf.here" not in visit.check.answers
        tell(visit, "yes")
    sound = ({"leaf.here", "leaf.here_second"} - {split}).pop()
    assert (visit.meaning(split), visit.meaning(sound)) == ("split", "sound"), visit.said


@pytest.mark.parametrize("key", ["frame.here", "glass.here"])
def test_a_leaf_that_is_named_where_another_part_is_asked_about(key: str) -> None:
    visit = Visit(PAIR).go_to(key)
    before = dict(visit.check.answers)
    tell(visit, "First leaf is ok, second leaf has a split")
    told = visit.check.pending
    assert visit.check.answers == before and told is not None, visit.said
    assert [each.question for each in told.said] == ["leaf.here", "leaf.here_second"]


@pytest.mark.parametrize(
    ("key", "words", "first"),
    [
        ("leaf.here", "filler in the screw holes", "damaged"),
        ("frame.here", "filler in the screw holes", "damaged"),
        ("hinges.fixings", "filler in the screw holes", "screw_missing"),
        ("hinges.fixings", "screw holes filled", "screw_missing"),
    ],
)
def test_filler_in_screw_holes_is_offered_as_more_than_a_hole(
    key: str, words: str, first: str
) -> None:
    found = understand(key, words)
    told = [*found.meanings, *(said for offer in found.offers for said in offer.meaning)]
    assert found.kind != "entered" and first in map(in_words, told), found
    assert not any(map(passes, told)), found
