"""What a first check learns of the door: kept, taken back, and never left judged by what the door
is not.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, UNKNOWN, Visit, door

from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict


@pytest.mark.parametrize(
    ("key", "impossible", "told"),
    [
        (
            "register.width",
            "five millimetres",
            "Leaf width: 5 mm: that can't be right, so it is not entered.",
        ),
        (
            "register.width",
            "9000",
            "Leaf width: 9000 mm: that can't be right, so it is not entered.",
        ),
        (
            "register.height",
            "204",
            "Leaf height: 204 mm: that can't be right, so it is not entered.",
        ),
        (
            "register.mass",
            "two kg",
            "Leaf weight: 2 kg: that can't be right, so it is not entered.",
        ),
        ("hinges.count", "nine", "Hinges counted: 9: that can't be right, so it is not entered."),
    ],
)
def test_what_no_door_can_be_is_refused_with_a_clear_line_and_asked_again(
    key: str, impossible: str, told: str
) -> None:
    visit = Visit(UNKNOWN).go_to(key)
    before = visit.check.answers
    said = visit.type(impossible)
    assert said[0] == told
    assert visit.check.open == key and visit.check.answers == before
    assert visit.turn.enter == () and visit.turn.door is None


def test_nine_hinges_cannot_be_whatever_the_register_says() -> None:
    visit = Visit(door(hinges=3)).go_to("hinges.count")
    assert visit.type("nine")[0] == "Hinges counted: 9: that can't be right, so it is not entered."
    assert visit.meaning("hinges.count") is None


def test_of_several_answers_only_the_impossible_one_is_lost() -> None:
    visit = Visit(UNKNOWN).go_to("register.material")
    said = visit.type("timber, wired glass")
    assert said[0] == "Material: timber. Glass: wired."
    visit.go_to("register.width")
    said = visit.type("5 mm 2040 45 kg")
    assert said[:2] == [
        "Leaf height: 2040 mm. Leaf weight: 45 kg.",
        "Leaf width: 5 mm: that can't be right, so it is not entered.",
    ]
    assert visit.check.open == "register.width"
    assert (visit.check.door.leaf_height_mm, visit.check.door.leaf_mass_kg) == (2040, 45)


def test_what_is_learnt_is_entered_and_given_to_the_register() -> None:
    visit = Visit(UNKNOWN)
    visit.type("corridor")
    assert visit.turn.door is not None and visit.turn.door.use == "corridor in constant use"
    (entry,) = [entry for entry in visit.entered if entry.kind is EntryKind.DOOR_CHANGED]
    assert entry.body["learnt"] == {"field": "use", "value": "corridor in constant use"}


def test_not_known_leaves_the_field_unknown_and_asks_no_more_in_this_visit() -> None:
    visit = Visit(UNKNOWN).go_to("register.rating")
    visit.type("not known")
    assert visit.check.door.rating is None
    assert visit.check.open == "register.leaves"


def test_the_hinges_of_the_register_stay_as_they_are_when_fewer_are_counted() -> None:
    visit = Visit(door(hinges=4)).go_to("hinges.count")
    assert visit.type("three")[0] == "Hinges counted: 3 hinges, 4 expected."
    assert visit.check.door.hinges == 4
    visit.type("undo", "two")
    assert visit.check.door.hinges == 4


def test_a_count_taken_back_leaves_no_trace_in_the_register() -> None:
    visit = Visit(door(hinges=None)).go_to("hinges.count")
    visit.type("four")
    assert visit.check.door.hinges == 4
    visit.type("no, three")
    assert visit.check.door.hinges == 3
    assert visit.check.findings["hinges.count"] == ()
    visit.type("undo")
    assert visit.check.door.hinges is None


def test_too_few_hinges_are_never_learnt_as_what_the_door_should_have() -> None:
    visit = Visit(door(hinges=None)).go_to("hinges.count")
    visit.type("two")
    assert visit.check.door.hinges is None
    assert [finding.what for finding in visit.check.findings["hinges.count"]] == [
        "2 hinges, 3 expected"
    ]


def test_a_gap_is_judged_again_when_a_threshold_seal_is_found() -> None:
    visit = Visit(door(threshold_seal=None)).go_to("gaps.threshold")
    visit.type("six")
    assert [finding.what for finding in visit.check.findings["gaps.threshold"]] == [
        "6 mm, 3 mm allowed"
    ]
    visit.go_to("register.threshold")
    said = visit.type("fitted")
    assert (
        said[0] == "Judged again, now that I know more about the door. Gap at the threshold: 6 mm."
    )
    assert visit.check.findings["gaps.threshold"] == ()
    assert visit.check.answers["gaps.threshold"].corrects == "gaps.threshold#1"


def test_a_rating_corrected_to_smoke_control_is_never_left_with_a_gap_passed_without_it() -> None:
    visit = Visit(door(rating=None)).go_to("register.rating")
    visit.type("thirty")
    visit.go_to("gaps.threshold").type("five")
    assert visit.check.findings["gaps.threshold"] == ()
    while visit.check.open != "register.rating":
        visit.type("go back")
    said = visit.type("thirty with smoke")
    assert (
        "Judged again, now that I know more about the door. Gap at the threshold: 5 mm, 3 mm"
        " allowed." in said
    )
    assert [each.verdict for each in visit.check.findings["gaps.threshold"]] == [Verdict.DEFECT]


def test_a_sign_passed_for_another_door_is_asked_again() -> None:
    visit = Visit(door(hold_open=None)).go_to("register.hold_open")
    visit.type("no hold open")
    visit.go_to("sign.here").type("right and readable")
    while visit.check.open != "register.hold_open":
        visit.type("go back")
    said = visit.type("magnet")
    assert (
        said[0] == "Sign, this side: I need to ask that again, now that I know more about the door."
    )
    assert visit.meaning("sign.here") is None
    assert EntryKind.WITHDRAWN in visit.kinds()


def test_seals_of_the_wrong_kind_for_the_rating_are_told_at_every_check() -> None:
    visit = Visit(door(rating="FD30S", seals="plain intumescent")).go_to("seals")
    assert visit.type("all there, undamaged, never painted")[0] == "Seals: no smoke seal."


def test_a_door_that_proves_to_be_kept_locked_is_asked_for_its_lock() -> None:
    visit = Visit(UNKNOWN)
    visit.type("riser")
    visit.go_to("register.closer").type("kept locked")
    assert "register.hold_open" not in [question.key for question in visit.check.unanswered]
    visit.go_to("lock")


def test_a_part_that_the_door_is_said_not_to_have_is_left_to_the_supervisor() -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    assert visit.type("no glass")[0] == "Glass, this side: does not apply: no glass."
    (finding,) = visit.check.findings["glass.here"]
    assert finding.verdict is Verdict.UNKNOWN
    assert visit.check.door.glazing == "wired"


def test_glass_is_said_back_as_it_was_seen_and_not_as_what_it_may_be() -> None:
    visit = Visit(UNKNOWN).go_to("register.glazing")
    visit.type("clear glass")
    assert "Glass: clear." in visit.said
    assert visit.meaning("register.glazing") == "is clear fire-resisting"


@pytest.mark.parametrize("words", ["not known", "can't tell", "skip", "none"])
def test_where_the_seals_sit_is_not_asked_while_nobody_knows_of_any(words: str) -> None:
    visit = Visit(UNKNOWN).go_to("register.seals")
    assert visit.type(words)[-1] == "Is a threshold seal fitted at the bottom?"
    ahead = {each.key for each in visit.check.unanswered}
    assert "register.seals_in" not in ahead
    if words == "skip":
        visit.go_to("register.seals")
        assert visit.type("with brush")[-1] == "Are they in the leaf or in the frame?"


def test_where_the_seals_sit_is_taken_in_one_breath_with_their_kind_then_or_later() -> None:
    at_once = Visit(UNKNOWN).go_to("register.seals")
    at_once.type("with brush, in the frame")
    assert at_once.meaning("register.seals_in") == "is frame"
    later = Visit(UNKNOWN).go_to("register.seals")
    later.type("skip", "not fitted")
    later.go_to("register.seals").type("with brush, in the frame")
    assert later.meaning("register.seals_in") == "is frame"
    known = Visit(door(seals_in=None)).go_to("register.seals_in")
    assert known.meaning("register.seals") is None  # the register says it


def test_a_fact_the_check_can_do_without_is_not_asked_for_again_once_skipped() -> None:
    visit = Visit(UNKNOWN).go_to("register.width")
    said = visit.type("skip")
    assert said[0] == "Leaf width: another time."
    assert visit.check.open == "register.mass"
    said = visit.type("skip")
    assert said[0] == "Leaf weight: another time."
    assert visit.check.open not in ("register.width", "register.height", "register.mass")
