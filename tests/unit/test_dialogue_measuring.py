"""The talk where something is measured: gaps at three places, the closing time by the clock, the
force to open.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, MEASURED, NFPA, PAIR, SIXTY, Visit

from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.values import Measure

# ---- Gaps


def test_one_number_is_enough_and_costs_no_turn_more() -> None:
    visit = Visit().go_to("gaps.sides")
    assert visit.type("three") == [
        "Gap at head and sides: 3 mm.",
        "And the gap at the threshold, under the door?",
    ]
    assert visit.type("lock side three") != [] and visit.check.open != "gaps.sides"


def test_three_numbers_are_the_head_and_the_sides_are_asked_for() -> None:
    visit = Visit().go_to("gaps.sides")
    assert visit.type("3 3.5 4") == [
        "Gap at head and sides: head from the hinge side 3, 3.5, 4 mm.",
        "And the gap at the hinge side and lock side?",
    ]
    assert visit.type("hinge side three three four") == [
        "Gap at head and sides: hinge side from the top 3, 3, 4 mm.",
        "And the gap at the lock side?",
    ]
    assert visit.type("three four four")[-1] == "And the gap at the threshold, under the door?"
    value = visit.check.answers["gaps.sides"].value
    assert isinstance(value, Measure) and len(value.spots) == 9 and value.unmeasured == ()


def test_all_edges_may_be_said_in_one_breath() -> None:
    visit = Visit().go_to("gaps.sides")
    said = visit.type("head three four four, hinge side three three three, lock side 4")
    head = "head from the hinge side 3, 4, 4 mm"
    hinge = "hinge side from the top 3, 3, 3 mm"
    assert said == [
        f"Gap at head and sides: {head}; {hinge}; lock side 4 mm.",
        "And the gap at the threshold, under the door?",
    ]


def test_one_value_after_the_head_stands_for_all_that_is_left() -> None:
    visit = Visit().go_to("gaps.sides")
    visit.type("head 3 4 4")
    assert visit.type("three") == [
        "Gap at head and sides: elsewhere 3 mm.",
        "And the gap at the threshold, under the door?",
    ]
    sides = Visit().go_to("gaps.sides")
    sides.type("head 3 4 4")
    assert sides.type("sides three")[0] == "Gap at head and sides: hinge side 3 mm; lock side 3 mm."


def test_edges_left_out_are_told_before_the_door_is_signed_and_never_pass() -> None:
    visit = Visit().go_to("gaps.sides")
    visit.type("head 3 4 4", "skip").count("")
    visit.all_well()
    assert (
        "Not checked: Gap at head and sides (not measured: hinge side and lock side)." in visit.said
    )
    assert visit.said[-1].startswith("Door 12: not shown to be fit, 1 not checked.")


def test_a_leaf_that_has_dropped_is_found_from_the_head_and_entered_with_its_angle() -> None:
    visit = Visit().go_to("gaps.sides")
    visit.type("head two three five, sides three")
    visit.all_well()
    assert any(
        "head gap 2 mm at the hinge side, 5 mm at the lock side" in line for line in visit.said
    )
    visit.type("finish check")
    (found,) = [
        each.body
        for each in visit.entered
        if each.kind is EntryKind.FOUND and each.body["rule"] == "leaf.out_of_square"
    ]
    assert (
        found["answer"] == "gaps.sides#1"
        and "0.19° out of square" in found["why"]
        and "6.6 mm" in found["why"]
    )


def test_a_correction_changes_the_edge_spoken_of_last_and_keeps_the_others() -> None:
    visit = Visit().go_to("gaps.sides")
    visit.type("head 3 3 3", "hinge side 3 3 3", "lock side 3 3 3")
    said = visit.type("no, 3 3 4")
    assert (
        said[0].endswith("lock side from the top 3, 3, 4 mm.")
        and "hinge side from the top 3, 3, 3" in said[0]
    )
    assert visit.type("no, head 4 4 4")[0].startswith("Gap at head and sides: ")
    assert visit.type("no, three") and visit.meaning("gaps.sides") == "3 mm"


def test_a_hedge_reads_all_places_back() -> None:
    visit = Visit().go_to("gaps.threshold")
    assert visit.type("I think 2 2 3") == [
        "Gap at the threshold: from the hinge side 2, 2, 3 mm. Right?"
    ]
    assert visit.meaning("gaps.threshold") is None
    visit.type("yes")
    assert (
        visit.meaning("gaps.threshold")
        == "3 mm: threshold hinge 2, threshold middle 2, threshold lock 3"
    )


def test_places_of_which_the_edge_cannot_be_told_are_no_answer() -> None:
    visit = Visit().go_to("gaps.sides")
    assert visit.type("top three middle four bottom five")[0].startswith("“top three middle")
    assert visit.meaning("gaps.sides") is None


def test_two_bare_numbers_are_no_answer() -> None:
    visit = Visit().go_to("gaps.sides")
    visit.type("three four")
    assert visit.meaning("gaps.sides") is None


def test_meeting_edges_are_taken_from_the_top_and_inches_too() -> None:
    pair = Visit(PAIR).go_to("gaps.meeting")
    assert pair.type("3 3 4")[0] == "Gap at the meeting edges: from the top 3, 3, 4 mm."
    listed = Visit(checklist=NFPA).go_to("gaps.sides")
    said = listed.type('head 1/8" 1/8" 3/16", sides 1/8"')
    assert said[0].startswith(
        "Gap at head and sides: head from the hinge side 1/8, 1/8, 3/16 in; hinge side 1/8 in; "
    )
    assert "3/16 in, 1/8 in allowed, head, at the lock side" in said[0]


def said_at(question: str, amount: str, start: float) -> Said:
    return Said(
        question=question,
        value=Measure(amount=amount, unit="mm"),
        phrase="…",
        at=(start, start + 0.5),
    )


@pytest.mark.parametrize(
    ("numbers", "read_back"),
    [
        (("3", "7/2", "4"), "Gap at the threshold: from the hinge side 3, 3.5, 4 mm"),
        (("3", "4"), "Gap at the threshold: 4 mm. Right?"),
        (("3", "4", "3", "3"), "Gap at the threshold: 4 mm. Right?"),
    ],
)
def test_numbers_with_pauses_between_them_are_three_places_or_are_read_back(
    numbers: tuple[str, ...], read_back: str
) -> None:
    from doorround.hearing.session.answer_merging import merged

    said = merged(tuple(said_at("gaps.threshold", each, at) for at, each in enumerate(numbers)))
    visit = Visit().go_to("gaps.threshold")
    assert visit.take(Heard(said=said, words="…"))[0].startswith(read_back)


# ---- The force to open


def test_the_force_may_be_told_unasked_in_newtons_or_pounds() -> None:
    visit = Visit().go_to("closer.full")
    assert (
        visit.type("opening force thirty five newtons")[0]
        == "Closer, force to open up to 30 degrees: 35 N; 35 N to open, 30 N allowed."
    )
    assert visit.check.open == "closer.full"
    visit.type("opening force past thirty degrees 5 pounds")
    assert visit.meaning("closer.force_high") == "5 lbf"


# ---- The width of a seal


def test_one_strip_of_20_mm_does_for_60_minutes_and_its_width_goes_into_the_register() -> None:
    # 20 × 4 mm, or a pair of 15 × 4 mm: trade data sheets (secondary)
    visit = Visit(SIXTY).go_to("seals")
    visit.type("all there, undamaged, never painted")
    assert "one strip only" in visit.said[0]
    wide = Visit(SIXTY).go_to("seals")
    wide.type("strip twenty millimetres")
    assert wide.check.door.seal_width_mm == 20 and wide.check.open == "seals"
    assert wide.type("all there, undamaged, never painted") == [
        "Seals: sound.",
        "How many hinges?",
    ]
    assert (
        Visit(wide.check.door, checklist=MEASURED).go_to("hinges.count").meaning("seals.width")
        is None
    )


def test_a_narrow_strip_is_told_with_its_width_and_a_door_of_30_minutes_is_not_asked() -> None:
    narrow = Visit(SIXTY, checklist=MEASURED).go_to("seals.width")
    said = narrow.type("fifteen")
    assert "one strip of 15 mm only" in " ".join(said)
    assert not MEASURED.asks(MEASURED.ask("seals.width"), CORRIDOR)


def test_a_door_freed_of_its_hook_or_string_on_the_spot_is_made_good_after_a_yes() -> None:
    visit = Visit().go_to("clear")
    assert visit.type("hooked open")[1].startswith("ACT NOW. Free the door now")
    assert "no, untied it" in [tap for prompt in visit.turn.say for tap in prompt.taps]
    visit.type("no, unhooked it", "yes")
    assert visit.meaning("clear") == "made good, fixed"
    assert all(
        not finding.severity or finding.made_good for finding in visit.check.findings["clear"]
    )
