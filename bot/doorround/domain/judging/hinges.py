"""Hinges: how many, strong enough, screwed on."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.domain.findings import Finding
from doorround.domain.judging.rule import COMPETENT, Example, Rule, Seen
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import HINGE_GRADES, hinge_load
from doorround.domain.values import Condition, Count

MIN_HINGES = 3  # common practice, no source
MANY_SCREWS = 3  # common practice, no source
EN_1935 = "EN 1935:2002 (secondary)"


def _too_few_hinges(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, Count):
        return []
    number = seen.value.number
    wanted = max(MIN_HINGES, seen.door.hinges or MIN_HINGES)
    if number >= wanted:
        return []
    what = f"{number} hinge{'' if number == 1 else 's'}, {wanted} expected"
    why = "Too few hinges let the leaf drop or warp away from the frame in a fire."
    source = COMMON if wanted == MIN_HINGES else "the door schedule"
    how_soon = Severity.SOON if number else Severity.ACT_NOW
    do_now = "Report it today." if number else "Do not swing the door. Tell the supervisor at once."
    return seen.finding(
        "hinges.too_few", how_soon, what, why, do_now, source, must_not_move=not number
    )


def _hinges_too_weak(seen: Seen) -> list[Finding]:
    door = seen.door
    if (
        not isinstance(seen.value, Condition)
        or door.hinge_grade is None
        or door.leaf_mass_kg is None
    ):
        return []
    carries = HINGE_GRADES[door.hinge_grade][0]
    if door.leaf_mass_kg <= carries:
        return []
    what = (
        f"hinges of grade {door.hinge_grade}, for {carries} kg; the leaf has"
        f" {door.leaf_mass_kg:g} kg"
    )
    why = f"Hinges too weak for their leaf wear, and the leaf drops{_load(door)}."
    return seen.finding("hinges.too_weak", Severity.SOON, what, why, COMPETENT, EN_1935)


def _load(door: Door) -> str:
    """What the hinges of this leaf hold, where its size and mass are known."""
    width = door.leaf_width_mm
    height = door.leaf_height_mm
    mass = door.leaf_mass_kg
    load = hinge_load(width, height, mass) if width and height and mass else None
    return f": {load.words}" if load else ""


def _screws_missing(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, Condition):
        return []
    missing = sum(each.count or 1 for each in seen.value.defects if each.name == "screw_missing")
    if missing < MANY_SCREWS:
        return []
    what = f"{missing} screws missing on one door"
    why = "So many missing screws can let the leaf come off."
    do_now = "Do not swing the door. Tell the supervisor at once."
    return seen.finding(
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
        "The hinges' grade is for a leaf of this mass.",
        Severity.SOON,
        _hinges_too_weak,
        Example(
            {"hinge_grade": 7, "leaf_mass_kg": 45},
            {"hinges.fixings": {"kind": "condition"}},
            "hinges of grade 7, for 40 kg; the leaf has 45 kg",
        ),
        EN_1935,
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
