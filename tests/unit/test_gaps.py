"""Gaps: how wide they may be, in millimetres and in inches.

The door's own evidence prevails over every limit here.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from visits import CHECKLIST, CORRIDOR, NFPA, UNKNOWN, ask, door

from doorround.domain.door import Door
from doorround.domain.findings import Verdict
from doorround.domain.judging.formatting import beside, in_words
from doorround.domain.judging.gaps import allowed_by_evidence, gap_limit
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.values import Measure, Unit

UK = CHECKLIST.rules


def judged(key: str, value: Measure, fire_door: Door = CORRIDOR) -> Verdict:
    return verdict(value, judge(fire_door, ask(key), value, CHECKLIST))


def mm(amount: str) -> Measure:
    return Measure(amount=Fraction(amount), unit=Unit.MM)


def inch(amount: str) -> Measure:
    return Measure(amount=Fraction(amount), unit=Unit.INCH)


STEEL = door(material="steel")
NO_SMOKE = door(rating="FD30")
SEALED = door(threshold_seal="fitted")


@pytest.mark.parametrize(
    ("amount", "how"),
    [
        ("2", Verdict.SOUND),
        ("3", Verdict.SOUND),
        ("4", Verdict.SOUND),
        ("4.1", Verdict.DEFECT),
        ("5", Verdict.DEFECT),
    ],
)
def test_a_timber_door_has_never_more_than_4_mm_at_head_and_sides(
    amount: str, how: Verdict
) -> None:
    # GOV.UK, fire door guidance (secondary)
    assert judged("gaps.sides", mm(amount)) is how


def test_a_gap_in_inches_is_judged_in_exact_millimetres() -> None:
    assert inch("1/8").mm == Fraction("3.175")  # exact: an inch is 25.4 mm by definition
    assert inch("1/16").mm == Fraction("1.5875")
    assert inch("3/4").mm == Fraction("19.05")
    assert judged("gaps.sides", inch("1/8")) is Verdict.SOUND
    assert judged("gaps.sides", inch("5/32")) is Verdict.SOUND  # 3.97 mm
    assert judged("gaps.sides", inch("3/16")) is Verdict.DEFECT  # 4.76 mm


def test_a_steel_door_has_4_mm_and_above_that_what_its_maker_tested() -> None:
    # common practice, no source; NFPA 80, 6.3.1.7, would let 4.76 mm pass (secondary)
    limit = gap_limit(STEEL, "gaps.sides", UK)
    assert limit.most == 4 and limit.source.startswith("common practice, no source")
    assert judged("gaps.sides", mm("4"), STEEL) is Verdict.SOUND
    assert judged("gaps.sides", mm("4.5"), STEEL) is Verdict.UNKNOWN
    assert judged("gaps.sides", inch("1/4"), STEEL) is Verdict.UNKNOWN
    assert judged("gaps.sides", mm("8.1"), STEEL) is Verdict.ACT_NOW
    tested = door(material="steel", gap_sides_most_mm=5, evidence="maker's sheet 12")
    assert judged("gaps.sides", mm("4.5"), tested) is Verdict.SOUND
    assert judged("gaps.sides", mm("5.5"), tested) is Verdict.DEFECT


def test_a_leaf_of_unknown_material_is_judged_by_the_stricter_limit_at_both_ends() -> None:
    assert gap_limit(UNKNOWN, "gaps.sides", UK).most == 4
    # NFPA 80, 6.3.1.7: wood at most 1/8 in, steel at least 1/16 in (secondary)
    for key in ("gaps.sides", "gaps.meeting"):
        limit = gap_limit(door(material=None, frame="timber"), key, SETS["nfpa-80"])
        assert (limit.least, limit.most) == (Fraction(1, 16), Fraction(1, 8))
        assert "steel" in limit.source and "which of them holds is not known" in limit.source
        wood = gap_limit(door(material="timber", frame="timber"), key, SETS["nfpa-80"])
        assert wood.least is None


@pytest.mark.parametrize(
    ("rating", "frame", "edition", "least"),
    [
        ("20 min", None, "2022", "1/16"),
        ("20 min", "timber", "2022", None),
        ("90 min", None, "2022", None),
        ("20 min", None, "2013", None),
    ],
)
def test_wood_of_20_minutes_in_an_unknown_frame_is_held_to_the_least_of_a_steel_one(
    rating: str, frame: str | None, edition: str, least: str | None
) -> None:
    # NFPA 80, 6.3.1.7, 20-minute wood in hollow-metal frames, from 2016 (secondary)
    wood = door(material="timber", rating=rating, frame=frame)
    limit = gap_limit(wood, "gaps.sides", SETS[f"nfpa-80-{edition}"])
    assert limit.least == (Fraction(least) if least else None)
    assert limit.most == Fraction(1, 8)


@pytest.mark.parametrize(
    ("amount", "edge", "unit", "words"),
    [
        ("19.1", "19.05", Unit.INCH, "0.752 in"),
        ("3.24", "3.175", Unit.INCH, "0.13 in"),
        ("3.175", "3.175", Unit.INCH, "1/8 in"),
        ("25.4", "19.05", Unit.INCH, "1 in"),
        ("4.001", "4", Unit.MM, "4.001 mm"),
        ("4.004", "4", Unit.MM, "4.004 mm"),
        ("5", "4", Unit.MM, "5 mm"),
        ("1.999", "2", Unit.MM, "1.999 mm"),
    ],
)
def test_a_length_beside_a_limit_reads_on_its_side_of_it(
    amount: str, edge: str, unit: Unit, words: str
) -> None:
    assert beside(Fraction(amount), Fraction(edge), unit) == words


@pytest.mark.parametrize(
    ("amount", "how"), [("3", Verdict.SOUND), ("3.1", Verdict.DEFECT), ("8", Verdict.DEFECT)]
)
def test_a_door_that_holds_smoke_has_at_most_3_mm_at_the_threshold_without_a_seal(
    amount: str, how: Verdict
) -> None:
    # BS 8214:2016, 12.3 (secondary)
    assert judged("gaps.threshold", mm(amount)) is how


@pytest.mark.parametrize(
    "fire_door", [NO_SMOKE, SEALED], ids=["no smoke control", "threshold seal"]
)
def test_without_smoke_control_or_with_a_seal_10_mm_is_the_most(fire_door: Door) -> None:
    # BS 8214:2016: as the door's evidence says, often 8 to 10 mm (secondary)
    assert judged("gaps.threshold", mm("8"), fire_door) is Verdict.SOUND
    (watched,) = judge(fire_door, ask("gaps.threshold"), mm("10"), CHECKLIST)
    assert (watched.severity, watched.what) == (
        "watch",
        "10 mm, 8 mm is usual, the door's evidence decides",
    )
    assert judged("gaps.threshold", mm("10.5"), fire_door) is Verdict.DEFECT


def test_a_door_of_unknown_rating_is_judged_as_if_it_held_smoke() -> None:
    assert gap_limit(UNKNOWN, "gaps.threshold", UK).most == 3
    assert gap_limit(door(threshold_seal=None), "gaps.threshold", UK).most == 3


def test_a_gap_too_wide_says_what_was_found_and_what_is_allowed() -> None:
    (finding,) = judge(CORRIDOR, ask("gaps.sides"), inch("3/16"), CHECKLIST)
    assert finding.what == "4.76 mm, 4 mm allowed" and finding.severity == "soon"
    assert finding.rule == "gaps.too_wide"
    assert "the door's own evidence" in finding.do_now


@settings(max_examples=60, deadline=None)
@given(
    some.fractions(min_value=0, max_value=40, max_denominator=64),
    some.fractions(0, 20, max_denominator=64),
)
def test_a_wider_gap_is_never_judged_milder(gap: Fraction, more: Fraction) -> None:
    for key in ("gaps.sides", "gaps.meeting", "gaps.threshold"):
        for fire_door in (CORRIDOR, STEEL, NO_SMOKE):
            narrow, wide = (_too_wide(key, amount, fire_door) for amount in (gap, gap + more))
            assert narrow <= wide


def _too_wide(key: str, gap: Fraction, fire_door: Door) -> int:
    """-1 where it is not too wide, else the rank of its severity.

    That a leaf has no room is another rule.
    """
    found = judge(fire_door, ask(key), Measure(amount=gap, unit=Unit.MM), CHECKLIST)
    return max(
        (each.severity.rank for each in found if each.severity and "too_wide" in each.rule),
        default=-1,
    )


# ---- The door's own evidence


@pytest.mark.parametrize(
    ("fields", "edge", "least", "most", "grave"),
    [
        # what the evidence does not name stays as published: 2, 4 and 8 mm
        ({"gap_sides_least_mm": 1}, "gaps.sides", "1", "4", "8"),
        ({"gap_sides_least_mm": 1, "material": "steel"}, "gaps.sides", "1", "4", "8"),
        # out of action: as the set has it, or above twice what the evidence allows. Common
        # practice, no source
        ({"gap_sides_most_mm": 3}, "gaps.sides", "2", "3", "8"),
        ({"gap_sides_most_mm": 6.5}, "gaps.sides", "2", "6.5", "13"),
        ({"gap_sides_most_mm": 1.5}, "gaps.sides", "1.5", "1.5", "8"),
        ({"gap_sides_most_mm": 3, "material": "steel"}, "gaps.sides", None, "3", "8"),
        ({"gap_meeting_most_mm": 6}, "gaps.meeting", "2", "6", "12"),
        ({"gap_threshold_most_mm": 6}, "gaps.threshold", None, "6", "20"),
        ({"gap_threshold_most_mm": 25}, "gaps.threshold", None, "25", "50"),
        # the evidence for one edge says nothing of another
        ({"gap_sides_least_mm": 1}, "gaps.meeting", "2", "4", "8"),
    ],
)
def test_the_doors_own_evidence_sets_what_it_names(
    fields: dict[str, float | str], edge: str, least: str | None, most: str, grave: str
) -> None:
    limit = gap_limit(door(evidence="sheet 4", **fields), edge, UK)
    assert limit.least == (None if least is None else Fraction(least))
    assert (limit.most, limit.grave) == (Fraction(most), Fraction(grave))


def test_evidence_for_a_narrow_gap_does_not_make_a_gross_one_milder() -> None:
    proven = door(gap_sides_most_mm=3, evidence="sheet 4")
    for fire_door in (CORRIDOR, proven):
        assert judged("gaps.sides", mm("8.1"), fire_door) is Verdict.ACT_NOW


def test_what_the_evidence_allows_is_told_beside_what_the_set_allows_in_the_sets_unit() -> None:
    proven = door(gap_sides_most_mm=6, evidence="sheet 4")
    wood = "NFPA 80-2022, 6.3.1.7, wood: at most 1/8 in (secondary)"
    assert (
        allowed_by_evidence(proven, "gaps.sides", mm("5"), NFPA.rules)
        == f"allowed by the door's own evidence: sheet 4; {wood} allows 1/8 in."
    )
    # beyond the evidence too, within the set too, and where there is none
    assert allowed_by_evidence(proven, "gaps.sides", mm("7"), NFPA.rules) is None
    assert allowed_by_evidence(proven, "gaps.sides", mm("3"), NFPA.rules) is None
    assert allowed_by_evidence(CORRIDOR, "gaps.sides", mm("5"), NFPA.rules) is None


# ---- Units


@settings(max_examples=30, deadline=None)
@given(some.fractions(min_value=0, max_value=3, max_denominator=64))
def test_inches_and_their_millimetres_are_judged_alike(amount: Fraction) -> None:
    inches = Measure(amount=amount, unit=Unit.INCH)
    same = Measure(amount=amount * Fraction(254, 10), unit=Unit.MM)
    for checklist in (CHECKLIST, NFPA):
        for key in ("gaps.sides", "gaps.meeting", "gaps.threshold"):
            for fire_door in (CORRIDOR, STEEL, SEALED, door(gap_sides_most_mm=6.35)):
                found = [judge(fire_door, ask(key), value, checklist) for value in (inches, same)]
                assert found[0] == found[1]


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("3", "3"),
        ("7/2", "3.5"),
        ("3.175", "3.18"),
        ("3.125", "3.13"),
        ("1.5875", "1.59"),
        ("0", "0"),
        ("926", "926"),
        ("1234567", "1234567"),
    ],
)
def test_a_number_is_said_with_at_most_two_decimals_rounded_half_up(
    amount: str, words: str
) -> None:
    assert in_words(Fraction(amount)) == words


def test_a_mass_has_no_length() -> None:
    with pytest.raises(ValueError, match="a mass has no length"):
        _ = Measure(amount=Fraction(45), unit=Unit.KG).mm
