"""What single parts come to: gaps and the door's own evidence, closers, hinges, and the sets of
rules.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from judged_doors import faults, judged, mm, well
from visits import CHECKLIST, CORRIDOR, FLATS, NFPA, door

from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.gaps import POINTS
from doorround.domain.judging.judge import judge
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import dropped_leaf
from doorround.domain.values import Measure, NotMeasured, Unit, Value, YesNo
from doorround.messages.summing_up import result_words

# ---- Gaps: how much too wide, evidence, three places


@pytest.mark.parametrize(
    ("gap", "severity"), [("5", Severity.SOON), ("8", Severity.SOON), ("8.1", Severity.ACT_NOW)]
)
def test_a_gap_of_more_than_twice_the_limit_is_act_now(gap: str, severity: Severity) -> None:
    assert judged(gaps__sides=mm(gap)).severity is severity  # common practice, no source


def test_a_leaf_that_touches_the_frame_is_soon_and_a_narrow_gap_is_watched() -> None:
    assert judged(gaps__sides=mm("0")).severity is Severity.SOON
    assert judged(gaps__sides=mm("1")).severity is Severity.WATCH


PROVEN = door(
    evidence="test report of this type",
    gap_threshold_most_mm=6,
    gap_sides_most_mm=3,
    gap_sides_least_mm=1,
)


def test_the_doors_own_evidence_prevails_and_is_cited() -> None:
    whole = judged(PROVEN, gaps__threshold=mm("6"), gaps__sides=mm("3"))
    assert whole.result is Result.FIT
    assert whole.evidence == (
        (
            "Gap at the threshold: allowed by the door's own evidence: test report of this type; BS"
            " 8214:2016, 12.3: at most 3 mm, else a threshold seal (secondary) allows 3 mm."
        ),
    )
    (wide,) = judged(PROVEN, gaps__sides=mm("3.5")).findings
    assert (wide.what, wide.severity) == ("3.5 mm, 3 mm allowed", Severity.SOON)
    assert wide.source == "the door's own evidence: test report of this type"
    assert judged(PROVEN, gaps__sides=mm("1")).findings == ()
    assert [each.rule for each in judged(PROVEN, gaps__sides=mm("0.9")).findings] == [
        "gaps.too_narrow"
    ]


def test_evidence_that_is_stricter_is_not_cited_as_allowing_anything() -> None:
    assert judged(PROVEN, gaps__sides=mm("3"), gaps__threshold=mm("3")).evidence == ()


@pytest.mark.parametrize(
    "evidence",
    [
        "pending",
        "to follow",
        "lost",
        "none held",
        "no certificate",
        "TBA",
        "unknown maker",
        "yes",
        "see file",
        "Test report",
        "certificate",
        "on file",
        "?",
        "-",
        "x",
        " ",
    ],
)
def test_evidence_that_names_no_document_leaves_the_published_limit(evidence: str) -> None:
    fire_door = door(gap_sides_most_mm=6, evidence=evidence)
    assert judged(fire_door, gaps__sides=mm("5")).result is Result.WITH_DEFECTS


@pytest.mark.parametrize(
    "evidence",
    [
        "sheet 4",
        "cert. no. 123",
        "Certificate No 9",
        "AB 1001",
        "test report of this type",
        "maker's instructions for this leaf",
    ],
)
def test_a_document_may_be_named_in_many_ways(evidence: str) -> None:
    fire_door = door(gap_sides_most_mm=6, evidence=evidence)
    assert judged(fire_door, gaps__sides=mm("5")).result is Result.FIT


def test_the_meeting_edge_has_evidence_of_its_own() -> None:
    pair = door(leaves="pair", gap_meeting_most_mm=6, evidence="test report 7")
    unnamed = door(leaves="pair", gap_meeting_most_mm=6)
    assert judged(unnamed, gaps__meeting=mm("6")).severity is Severity.SOON
    assert judged(unnamed).evidence == (
        "The register has limits of the door's own and names no document for them: the published"
        " limits stand.",
    )
    assert judged(pair, gaps__meeting=mm("6")).result is Result.FIT
    assert judged(door(leaves="pair"), gaps__meeting=mm("6")).severity is Severity.SOON
    assert judged(pair, coordinator=faults("wrong_order")).result is Result.OUT_OF_ACTION


def test_the_seals_of_the_evidence_are_right_whatever_the_rating_mostly_shows() -> None:
    tested = door(
        rating="FD60S",
        seals="intumescent with brush or fin",
        evidence_seals="intumescent with brush or fin",
        evidence="sheet 4",
    )
    assert judged(tested).result is Result.FIT
    other = door(
        rating="FD30",
        seals="plain intumescent",
        evidence_seals="two plain strips",
        evidence="sheet 4",
    )
    (finding,) = judged(other).findings
    assert (finding.rule, finding.source) == (
        "seals.not_as_tested",
        "the door's own evidence: sheet 4",
    )


def points(edge: str, amount: str = "3") -> dict[str, Value]:
    return {point: mm(amount) for point in POINTS[edge]}


def test_all_places_of_an_edge_stand_for_its_one_worst_value_and_some_do_not() -> None:
    answers = {**well(CORRIDOR), **points("gaps.sides")}
    del answers["gaps.sides"]
    assert judge_door(CORRIDOR, answers, CHECKLIST).result is Result.FIT
    del answers["gaps.lock_top"]
    assert judge_door(CORRIDOR, answers, CHECKLIST).not_checked == ("gaps.sides",)
    answers["gaps.lock_top"] = NotMeasured()
    assert judge_door(CORRIDOR, answers, CHECKLIST).not_checked == ("gaps.sides", "gaps.lock_top")


def test_each_place_is_judged_by_the_limit_of_its_edge() -> None:
    rules = {
        "gaps.sides": "too_wide",
        "gaps.meeting": "meeting_too_wide",
        "gaps.threshold": "threshold_too_wide",
    }
    for edge, rule in rules.items():
        for point in POINTS[edge]:
            (finding,) = judge(CORRIDOR, question_of(point, CHECKLIST), mm("5"), CHECKLIST)
            assert finding.rule == f"gaps.{rule}", point
    assert len(POINTS["gaps.sides"]) == 9 and len(EXTRAS) == 18


def test_a_dropped_leaf_shows_in_its_head_gap() -> None:
    whole = judged(**{"gaps__head_hinge": mm("2"), "gaps__head_lock": mm("4.5")})
    finding = next(each for each in whole.together if each.rule == "leaf.out_of_square")
    assert (
        finding.why.startswith("The leaf hangs 0.15° out of square")
        and "closes by 5.5 mm" in finding.why
    )
    for hinge, lock in (("2", "4"), ("4", "2"), ("3", "3")):
        assert judged(gaps__head_hinge=mm(hinge), gaps__head_lock=mm(lock)).together == ()
    lifted = judged(gaps__head_hinge=mm("4"), gaps__head_lock=mm("1.5")).together
    assert "opens by 5.5 mm" in lifted[0].why
    assert judged(gaps__head_lock=mm("4")).together == ()


def test_the_drop_is_worked_out_from_head_gaps_and_leaf_size() -> None:
    drop = dropped_leaf(2, 5, 926, 2040)
    assert drop.angle == pytest.approx(0.1856, abs=5e-5)
    assert drop.closing_in == pytest.approx(6.61, abs=0.005)
    assert dropped_leaf(3, 3, 926, 2040).closing_in == 0
    assert dropped_leaf(0, 926, 926, 1000).angle == pytest.approx(45)


def test_an_uneven_side_is_planned() -> None:
    whole = judged(gaps__lock_top=mm("2"), gaps__lock_middle=mm("3"), gaps__lock_bottom=mm("4"))
    assert whole.together == ()
    whole = judged(gaps__lock_top=mm("2"), gaps__lock_bottom=mm("4.5"), gaps__hinge_top=mm("9"))
    assert ("gaps.uneven", "lock side gap from 2 to 4.5 mm") in [
        (each.rule, each.what) for each in whole.together
    ]


def test_each_side_is_looked_at_by_itself() -> None:
    hinge = judged(gaps__hinge_top=mm("2"), gaps__hinge_bottom=mm("4.5")).together
    assert [(each.rule, each.what) for each in hinge] == [
        ("gaps.uneven", "hinge side gap from 2 to 4.5 mm")
    ]
    assert judged(gaps__hinge_top=mm("2"), gaps__lock_top=mm("4")).together == ()


# ---- Sets


def test_the_same_gap_is_judged_by_the_set_of_its_site() -> None:
    gap = Measure(amount=Fraction(5, 32), unit=Unit.INCH)  # 3.97 mm
    assert judged(gaps__sides=gap).result is Result.FIT
    (finding,) = judged(CORRIDOR, NFPA, gaps__sides=gap, gaps__threshold=mm("3")).findings
    assert finding.what == "5/32 in, 1/8 in allowed"
    assert judged(CORRIDOR, NFPA).rules == "nfpa-80"


def test_nfpa_80_wants_no_sign_and_finds_one_that_is_too_big() -> None:
    assert judged(CORRIDOR, NFPA, sign__here=faults("missing")).findings == ()
    assert [
        each.rule for each in judged(CORRIDOR, NFPA, sign__here=faults("too_big")).findings
    ] == ["sign.too_big"]
    assert judged(sign__here=faults("missing")).severity is Severity.PLANNED


def test_each_set_asks_what_it_needs_and_no_more() -> None:
    asked = {
        key: {each.key for each in CHECKLIST.under(rules).for_door(CORRIDOR)}
        for key, rules in SETS.items()
    }
    assert asked["nfpa-80"] - asked["uk-premises"] == {"label"}
    assert asked["england-flats"] == asked["uk-premises"]
    unknown = door(use="flat entrance", letter_plate=None)
    assert "letter_plate" in {each.key for each in FLATS.for_door(unknown)}
    assert "letter_plate" not in {each.key for each in CHECKLIST.for_door(unknown)}
    fitted = door(use="office", letter_plate="fitted")
    for checklist in (CHECKLIST, FLATS, NFPA):
        assert "letter_plate" in {each.key for each in checklist.for_door(fitted)}
    assert NFPA.ask("gaps.sides").unit == "in" and "inches" in NFPA.ask("gaps.sides").ask
    assert CHECKLIST.ask("gaps.sides").unit == "mm"


def test_glass_that_may_be_ordinary_leaves_a_door_not_shown_to_be_fit_and_says_why() -> None:
    held = door(glazing="clear fire-resisting")
    whole = judged(held, mark=YesNo(yes=False))
    assert whole.result is Result.NOT_SHOWN and whole.not_checked == ("mark",)
    assert whole.sentence == (
        "Not shown to be fit: glass of an unknown kind, and 1 defect, the gravest: soon."
    )
    assert result_words(whole) == "not shown to be fit, 1 defect, glass of an unknown kind"
    more = judged(held, mark=YesNo(yes=False), gaps__sides=NotMeasured())
    assert result_words(more) == (
        "not shown to be fit, 1 defect, 1 not checked, glass of an unknown kind"
    )
