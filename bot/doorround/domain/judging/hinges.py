"""Hinges: number, strength and screws."""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.door import Closer, Door, Fitted
from doorround.domain.findings import Finding
from doorround.domain.judging.formatting import length
from doorround.domain.judging.rule import COMPETENT, Example, JudgedAnswer, Rule
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import (
    HINGE_GRADES,
    EffectiveMass,
    effective_mass,
    hinge_load,
)
from doorround.domain.values import Condition, Count

MIN_HINGES = 3  # common practice, no source
MANY_SCREWS = 3  # common practice, no source
EN_1935 = "EN 1935:2002; surcharges: trade guides to it (secondary)"
# for leaves of 1 3/4 in; thinner ones may have smaller hinges
MIN_HINGE_INCHES = 4.5
HINGE_TABLE = "NFPA 80, table 6.4.3.1, leaves of 1 3/4 in: 4 1/2 in (from memory)"
DO_NOT_SWING = (
    "Do not swing the door. Keep people away and tell the supervisor at once. Only a competent"
    " person hangs it again."
)
FITTED_BY_COMPETENT = "Report it today; a competent person fits what is missing."


def _wanted(answer: JudgedAnswer) -> tuple[int, str]:
    """Number of hinges the leaf should have, and the source. A leaf on a floor spring turns on
    pivots: it has the hinges that the register gives, if any (common practice, no source).
    """
    if answer.door.closer is Closer.FLOOR_SPRING:
        return answer.door.hinges or 0, "the door schedule"
    wanted = MIN_HINGES
    source = COMMON
    by_height = answer.rules.hinges
    if by_height is not None:
        source = by_height.source
        if answer.door.leaf_height_mm is not None:
            wanted = by_height.wanted(answer.door.leaf_height_mm)
    if answer.door.hinges is not None and answer.door.hinges > wanted:
        return answer.door.hinges, "the door schedule"
    return wanted, source


def _too_few_hinges(answer: JudgedAnswer) -> list[Finding]:
    if not isinstance(answer.value, Count):
        return []
    number = answer.value.number
    wanted, source = _wanted(answer)
    if number >= wanted:
        return []
    what = f"{number} hinge{'' if number == 1 else 's'}, {wanted} expected"
    why = "Too few hinges let the leaf drop or warp away from the frame in a fire."
    how_soon = Severity.SOON if number else Severity.ACT_NOW
    do_now = FITTED_BY_COMPETENT if number else DO_NOT_SWING
    return answer.finding(
        "hinges.too_few", how_soon, what, why, do_now, source, must_not_move=not number
    )


def _hinges_too_weak(answer: JudgedAnswer) -> list[Finding]:
    door = answer.door
    if (
        not isinstance(answer.value, Condition)
        or door.hinge_grade is None
        or door.leaf_mass_kg is None
    ):
        return []
    carries = HINGE_GRADES[door.hinge_grade][0]
    mass = _effective(door, door.leaf_mass_kg, door.back_check is Fitted.YES)
    how_soon = Severity.SOON
    if mass.total_kg <= carries:
        mass = _effective(door, door.leaf_mass_kg, door.back_check is not Fitted.NO)
        how_soon = Severity.WATCH
        if mass.total_kg <= carries:
            return []
    unless = " if its closer has a back-check" if how_soon is Severity.WATCH else ""
    what = (
        f"hinges of grade {door.hinge_grade}, for {carries} kg; the leaf counts as"
        f" {mass.total_kg:.4g} kg{unless}: {mass.words}"
    )
    why = f"Hinges too weak for their leaf wear, and the leaf drops{_load(door)}."
    return answer.finding("hinges.too_weak", how_soon, what, why, COMPETENT, EN_1935)


def _effective(door: Door, mass_kg: float, back_check: bool) -> EffectiveMass:
    """The load for choosing its hinges. A closer counts unless known to be missing."""
    closer = door.closer not in (Closer.MISSING, Closer.KEPT_LOCKED)
    return effective_mass(
        mass_kg,
        door.leaf_width_mm,
        door.leaf_height_mm,
        closer=closer,
        back_check=back_check and closer,
    )


def _hinges_too_small(answer: JudgedAnswer) -> list[Finding]:
    height = answer.door.hinge_height_mm
    if answer.rules.hinges is None or not isinstance(answer.value, Count):
        return []
    if height is None or height >= MIN_HINGE_INCHES * 25.4:
        return []
    what = f"hinges {length(Fraction(str(height)), answer.rules.unit)} high, 4.5 in expected"
    why = "Hinges too small for their leaf wear, and the leaf drops."
    return answer.finding("hinges.too_small", Severity.SOON, what, why, COMPETENT, HINGE_TABLE)


def _load(door: Door) -> str:
    """Forces on the hinges of this leaf, if its size and mass are known."""
    width = door.leaf_width_mm
    height = door.leaf_height_mm
    mass = door.leaf_mass_kg
    load = hinge_load(width, height, mass) if width and height and mass else None
    return f": {load.words}" if load else ""


def _screws_missing(answer: JudgedAnswer) -> list[Finding]:
    if not isinstance(answer.value, Condition):
        return []
    missing = sum(
        each.count or 1
        for each in answer.value.defects
        if each.name == "screw_missing" and not each.made_good
    )
    if missing < MANY_SCREWS:
        return []
    what = f"{missing} screws missing on one door"
    why = "So many missing screws can let the leaf come off."
    do_now = DO_NOT_SWING
    return answer.finding(
        "hinges.many_screws_missing",
        Severity.ACT_NOW,
        what,
        why,
        do_now,
        COMMON,
        must_not_move=True,
    )


HINGE_RULES = (
    Rule(
        "hinges.too_few",
        ("hinges.count",),
        "Each leaf has at least three hinges, and as many as the register says.",
        Severity.ACT_NOW,
        _too_few_hinges,
        Example({}, {"hinges.count": {"kind": "count", "number": 2}}, "2 hinges, 3 expected"),
        mildest=Severity.SOON,
    ),
    Rule(
        "hinges.too_weak",
        ("hinges.fixings",),
        "The hinges' grade is for a leaf of this mass, with what its width and its closer add.",
        Severity.SOON,
        _hinges_too_weak,
        Example(
            {"hinge_grade": 10, "leaf_mass_kg": 55, "closer": "overhead", "back_check": "none"},
            {"hinges.fixings": {"kind": "condition"}},
            "hinges of grade 10, for 60 kg; the leaf counts as 66 kg: 55 kg + 20 % for a closer,"
            " 11 kg = 66 kg",
        ),
        EN_1935,
        mildest=Severity.WATCH,
    ),
    Rule(
        "hinges.too_small",
        ("hinges.count",),
        "The hinges are as high as NFPA 80 wants them for a leaf of 1 3/4 in.",
        Severity.SOON,
        _hinges_too_small,
        Example(
            {"hinge_height_mm": 101.6},
            {"hinges.count": {"kind": "count", "number": 3}},
            "hinges 4 in high, 4.5 in expected",
            "nfpa-80",
        ),
        HINGE_TABLE,
    ),
    Rule(
        "hinges.many_screws_missing",
        ("hinges.fixings",),
        "Three or more screws missing on one door put it out of action.",
        Severity.ACT_NOW,
        _screws_missing,
        Example(
            {},
            {
                "hinges.fixings": {
                    "kind": "condition",
                    "defects": [{"name": "screw_missing", "count": 3}],
                }
            },
            "3 screws missing on one door",
        ),
    ),
)
