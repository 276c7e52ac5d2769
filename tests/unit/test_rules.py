"""What an answer means for the door.

Every value names where it is published; the door's own evidence prevails.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from pydantic import ValidationError
from visits import CHECKLIST, CORRIDOR, UNKNOWN, ask, door

from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict, worst
from doorround.domain.judging.formatting import defect_words
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)


def found(key: str, value: Value, fire_door: Door = CORRIDOR) -> list[Finding]:
    return list(judge(fire_door, ask(key), value, CHECKLIST))


def judged(key: str, value: Value, fire_door: Door = CORRIDOR) -> Verdict:
    return verdict(value, judge(fire_door, ask(key), value, CHECKLIST))


def mm(amount: str) -> Measure:
    return Measure(amount=Fraction(amount), unit=Unit.MM)


# ---- Hinges


@pytest.mark.parametrize(
    ("number", "how"),
    [
        (0, Verdict.ACT_NOW),
        (1, Verdict.DEFECT),
        (2, Verdict.DEFECT),
        (3, Verdict.SOUND),
        (4, Verdict.SOUND),
    ],
)
def test_a_fire_door_has_at_least_three_hinges(number: int, how: Verdict) -> None:
    # common practice, no source
    assert judged("hinges.count", Count(number=number)) is how
    assert judged("hinges.count", Count(number=number), UNKNOWN) is how


def test_a_door_with_four_hinges_in_the_register_must_still_have_four() -> None:
    (finding,) = found("hinges.count", Count(number=3), door(hinges=4))
    assert (finding.what, finding.source) == ("3 hinges, 4 expected", "the door schedule")


def test_a_register_that_says_two_hinges_makes_two_no_less_a_defect() -> None:
    assert judged("hinges.count", Count(number=2), door(hinges=2)) is Verdict.DEFECT


def test_a_door_without_hinges_is_not_swung() -> None:
    (finding,) = found("hinges.count", Count(number=0))
    assert finding.must_not_move and finding.do_now.startswith("Do not swing the door.")


# ---- Faults that are named

NFPA = "NFPA 80"
GOVUK = "GOV.UK"


@pytest.mark.parametrize(
    ("key", "fault", "how", "source"),
    [
        ("clear", "wedged", Verdict.ACT_NOW, GOVUK),
        ("clear", "fixed", Verdict.ACT_NOW, "BS EN 1155 and BS 7273-4 (secondary)"),
        ("seals", "painted", Verdict.DEFECT, "BS 8214:2016, 14"),
        ("seals", "missing", Verdict.DEFECT, "factsheet on regulation 10, 2"),
        ("glass.here", "cracked", Verdict.DEFECT, "factsheet on regulation 10, 1"),
        ("glass.beyond", "broken", Verdict.ACT_NOW, "factsheet on regulation 10, 1"),
        ("sign.here", "wrong", Verdict.DEFECT, "Approved Document B"),
        ("leaf.here", "hole", Verdict.ACT_NOW, "factsheet on regulation 10, 5"),
        ("leaf.here", "altered", Verdict.DEFECT, "factsheet on regulation 10, 1"),
        ("latch", "not_latching", Verdict.DEFECT, "overcoming the latch"),
        ("hinges.fixings", "screw_missing", Verdict.DEFECT, "factsheet on regulation 10, 2"),
        ("hinges.fixings", "unmarked", Verdict.DEFECT, "common practice, no source"),
        ("hold_open", "not_releasing", Verdict.ACT_NOW, "BS EN 1155 and BS 7273-4 (secondary)"),
        (
            "closer.full",
            "not_closing",
            Verdict.ACT_NOW,
            "closing test from fully open and from about 15 degrees",
        ),
        (
            "closer.ajar",
            "stops_short",
            Verdict.ACT_NOW,
            "closing test from fully open and from about 15 degrees",
        ),
        ("closer.full", "slams", Verdict.DEFECT, "common practice, no source"),
        ("threshold", "not_dropping", Verdict.DEFECT, "BS 8214:2016, 12.3 (secondary)"),
    ],
)
def test_a_named_fault_is_judged_by_its_source(
    key: str, fault: str, how: Verdict, source: str
) -> None:
    (finding,) = found(key, Condition(defects=(Defect(name=fault),)))
    assert finding.verdict is how
    assert source in finding.source


def test_painted_seal_is_never_a_pass() -> None:
    for place in (None, "top", "lock side"):
        assert (
            judged("seals", Condition(defects=(Defect(name="painted", where=place),)))
            is Verdict.DEFECT
        )


def test_no_fault_of_the_checklist_is_ever_judged_sound() -> None:
    for fault in CHECKLIST.defect:
        key = next(
            question.key for question in CHECKLIST.question if question.component == fault.component
        )
        how = judged(key, Condition(defects=(Defect(name=fault.name),)))
        assert how in (Verdict.DEFECT, Verdict.ACT_NOW), fault.name


def test_the_gravest_of_two_faults_decides() -> None:
    value = Condition(defects=(Defect(name="slams"), Defect(name="broken")))
    assert [finding.verdict for finding in found("closer.full", value)] == [
        Verdict.DEFECT,
        Verdict.ACT_NOW,
    ]
    assert judged("closer.full", value) is Verdict.ACT_NOW


def test_a_fault_is_said_with_its_count_and_place() -> None:
    assert (
        defect_words("screw missing", Defect(name="screw_missing", count=2, where="top hinge"))
        == "2 screws missing, top hinge"
    )
    assert defect_words("screw missing", Defect(name="screw_missing", count=1)) == "1 screw missing"
    assert defect_words("cracked", Defect(name="cracked", face="push side")) == "cracked, push side"


# ---- Locks, marks, seals, closers


def test_a_door_without_a_closer_found_unlocked_is_act_now() -> None:
    # GOV.UK, fire door guidance (secondary): cupboard and riser doors not self-closing are kept
    # locked shut
    riser = door(use="riser", closer="none, kept locked")
    (finding,) = found("lock", YesNo(yes=False), riser)
    assert finding.verdict is Verdict.ACT_NOW and "GOV.UK" in finding.source
    assert found("lock", YesNo(yes=True), riser) == []


def test_clear_glass_without_a_mark_is_a_defect() -> None:
    assert judged("mark", YesNo(yes=False)) is Verdict.DEFECT  # common practice, no source
    assert judged("mark", YesNo(yes=True)) is Verdict.SOUND


@pytest.mark.parametrize(
    ("rating", "seals", "faults"),
    [
        # S: restricted smoke, so a smoke seal is needed; FD60: a pair or one wide strip. Trade data
        # sheets (secondary)
        ("FD30", "plain intumescent", []),
        ("FD30", "intumescent with brush or fin", []),
        ("FD30S", "plain intumescent", ["no smoke seal"]),
        ("FD30S", "intumescent with brush or fin", []),
        ("FD60", "plain intumescent", ["one strip only"]),
        ("FD60", "two plain strips", []),
        ("FD60S", "plain intumescent", ["no smoke seal", "one strip only"]),
        ("FD60S", "intumescent with brush or fin", ["one strip only"]),
        ("FD60S", "two plain strips", ["no smoke seal"]),
        ("FD60S", "two strips with brush or fin", []),
        ("EI2 60-Sa", "two plain strips", ["no smoke seal"]),
    ],
)
def test_the_seals_must_be_those_of_the_rating(rating: str, seals: str, faults: list[str]) -> None:
    findings = found("seals", Condition(), door(rating=rating, seals=seals))
    assert [finding.what for finding in findings] == faults
    assert judged("seals", Condition(), door(rating=rating, seals=seals)) is (
        Verdict.DEFECT if faults else Verdict.SOUND
    )


def test_seals_of_the_wrong_kind_are_told_beside_what_else_is_wrong_with_them() -> None:
    value = Condition(defects=(Defect(name="painted"),))
    findings = found("seals", value, door(rating="FD30S", seals="plain intumescent"))
    assert [finding.what for finding in findings] == ["painted over", "no smoke seal"]


def test_a_door_with_no_closer_that_is_not_kept_locked_is_act_now() -> None:
    assert judged("register.closer", Choice(chosen="none")) is Verdict.ACT_NOW
    kept_locked = Choice(chosen="none, kept locked")
    assert judged("register.closer", kept_locked, door(use="cupboard")) is Verdict.SOUND
    assert judged("register.closer", kept_locked) is Verdict.ACT_NOW  # a corridor is a way out


# ---- Unknown is never sound

NOT_SEEN = [
    CannotCheck(),
    CannotCheck(reason="locked"),
    DoesNotApply(),
    DoesNotApply(reason="no glass"),
    NotMeasured(),
    Choice(chosen="unknown"),
]


@pytest.mark.parametrize("value", NOT_SEEN, ids=str)
@pytest.mark.parametrize("key", [question.key for question in CHECKLIST.question])
def test_a_part_that_was_not_seen_is_unknown_and_never_sound(key: str, value: Value) -> None:
    for fire_door in (CORRIDOR, UNKNOWN):
        assert judged(key, value, fire_door) is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("gaps.sides", NotMeasured()),
        ("register.rating", Choice(chosen="unknown")),
        ("register.mass", NotMeasured()),
    ],
)
def test_what_was_not_measured_or_is_not_known_is_unknown_without_a_finding(
    key: str, value: Value
) -> None:
    assert found(key, value) == []
    assert judged(key, value) is Verdict.UNKNOWN


def test_a_part_that_could_not_be_checked_says_why() -> None:
    (finding,) = found("glass.here", CannotCheck(reason="covered"))
    assert (finding.what, finding.verdict) == ("not checked: covered", Verdict.UNKNOWN)


def test_of_several_verdicts_the_gravest_counts_and_unknown_is_graver_than_sound() -> None:
    assert worst([Verdict.SOUND, Verdict.UNKNOWN]) is Verdict.UNKNOWN
    assert worst([Verdict.UNKNOWN, Verdict.DEFECT]) is Verdict.DEFECT
    assert worst([Verdict.ACT_NOW, Verdict.DEFECT]) is Verdict.ACT_NOW


def test_every_finding_of_every_rule_names_its_source() -> None:
    plain = door(rating="FD60S", seals="plain intumescent")
    none = door(seals="none")
    findings = [
        *found("hinges.count", Count(number=0)),
        *found("gaps.sides", mm("30")),
        *found("lock", YesNo(yes=False), door(use="cupboard", closer="none, kept locked")),
        *found("lock.way_out", YesNo(yes=False)),
        *found("lock.way_out", YesNo(yes=False), door(use="office")),
        *found("lock.way_out", YesNo(yes=True), door(closer="none, kept locked")),
        *found("mark", YesNo(yes=False)),
        *found("seals", Condition(), plain),
        *found("seals", Condition(defects=(Defect(name="missing"),)), none),
        *found("register.closer", Choice(chosen="none")),
        *found("clear", CannotCheck()),
    ]
    assert [finding.rule for finding in findings] == [
        "hinges.too_few",
        "gaps.too_wide",
        "lock.unlocked",
        "lock.way_out",
        "lock.not_allowed",
        "lock.register",
        "mark.unmarked",
        "seals.no_smoke_seal",
        "seals.one_strip",
        "seals.no_seals",
        "register.no_closer",
        "clear.not_seen",
    ]
    assert all(finding.source and finding.why and finding.do_now for finding in findings)


def test_a_count_is_never_negative() -> None:
    with pytest.raises(ValidationError):
        Count(number=-1)
