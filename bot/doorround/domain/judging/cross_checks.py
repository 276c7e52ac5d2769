"""Rules that look across the answers: a dropped leaf, uneven gaps, several faults that together
make a larger one.
"""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.formatting import in_words
from doorround.domain.judging.gaps import EDGE_OF, POINTS, SIDES
from doorround.domain.judging.rule import REPORT, Example, Rule, Seen
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity, gravest, one_graver
from doorround.domain.judging.statics import dropped_leaf
from doorround.domain.values import Measure, Unit, Value

# 3 ± 1 mm (BS 8214:2016, secondary): two places of one edge may differ by 2 mm and both be within
# it
UNEVEN_MM = Fraction(2)
# So many faults make a larger one: common practice, no source
SEVERAL = 3


def _mm(value: Value | None) -> Fraction | None:
    return value.mm if isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH) else None


def _dropped(seen: Seen) -> list[Finding]:
    door = seen.door
    hinge, lock = (_mm(seen.others.get(f"gaps.head_{end}")) for end in ("hinge", "lock"))
    if hinge is None or lock is None or abs(lock - hinge) <= UNEVEN_MM:
        return []
    what = f"head gap {in_words(hinge)} mm at the hinge side, {in_words(lock)} mm at the lock side"
    why = "The leaf has dropped or moved: it may bind, and its gaps no longer close."
    if door.leaf_width_mm and door.leaf_height_mm:
        drop = dropped_leaf(float(hinge), float(lock), door.leaf_width_mm, door.leaf_height_mm)
        moved = "closes" if drop.angle > 0 else "opens"
        why = (
            f"The leaf hangs {abs(drop.angle):.2f}° out of square; if it turned about its lower"
            f" hinge, the gap at the top of the lock side {moved} by {abs(drop.closing_in):.1f} mm."
        )
    return seen.finding("leaf.out_of_square", Severity.SOON, what, why, REPORT, COMMON)


def _uneven(seen: Seen) -> list[Finding]:
    for edge in ("hinge", "lock"):
        measured = [
            (mm, point)
            for point in POINTS[SIDES]
            if point.startswith(f"gaps.{edge}_")
            if (mm := _mm(seen.others.get(point))) is not None
        ]
        if not measured:
            continue
        least, _ = min(measured)
        most, _ = max(measured)
        if most - least > UNEVEN_MM:
            what = f"{edge} side gap from {in_words(least)} to {in_words(most)} mm"
            why = "An uneven gap means a leaf or frame out of shape, or a leaf that has dropped."
            return seen.finding("gaps.uneven", Severity.PLANNED, what, why, REPORT, COMMON)
    return []


def _several(seen: Seen) -> list[Finding]:
    """Three faults of one severity or graver count as one of the next graver; it is told where none
    is as grave.
    """
    bad = [each.severity for each in _counted(seen.found) if each.severity]
    worst = gravest(bad)
    for severity in (Severity.SOON, Severity.PLANNED, Severity.WATCH):
        counted = sum(1 for each in bad if each.rank >= severity.rank)
        together = one_graver(severity)
        if counted >= SEVERAL and worst is not None and together.rank > worst.rank:
            what = f"{counted} faults together"
            why = (
                f"{SEVERAL} faults or more of “{severity}” count as one of “{together}”: they add"
                " up in a fire."
            )
            do_now = (
                "Tell the supervisor at once; keep the door shut."
                if together is Severity.ACT_NOW
                else "Report it."
            )
            return seen.finding("door.several", together, what, why, do_now, COMMON)
    return []


def _counted(found: tuple[Finding, ...]) -> list[Finding]:
    """What is wrong. One gap measured at three places is one fault, its gravest, not three."""
    bad = [
        each
        for each in found
        if each.severity and each.verdict in (Verdict.DEFECT, Verdict.ACT_NOW)
    ]
    gaps: dict[tuple[str, str], Finding] = {}
    for each in bad:
        if each.question in EDGE_OF:
            key = (each.rule, EDGE_OF[each.question])
            gaps[key] = max(
                gaps.get(key, each), each, key=lambda one: one.severity.rank if one.severity else -1
            )
    return [*(each for each in bad if each.question not in EDGE_OF), *gaps.values()]


def _mm_answer(amount: str) -> dict[str, str]:
    return {"kind": "measure", "amount": amount, "unit": "mm"}


def _fault(name: str) -> dict[str, object]:
    return {"kind": "condition", "defects": [{"name": name}]}


ACROSS_RULES = (
    Rule(
        "leaf.out_of_square",
        ("gaps.head_lock",),
        "The head gap is the same at the hinge and at the lock side, within 2 mm.",
        Severity.SOON,
        _dropped,
        Example(
            {"leaf_width_mm": 926, "leaf_height_mm": 2040},
            {"gaps.head_hinge": _mm_answer("2"), "gaps.head_lock": _mm_answer("5")},
            "head gap 2 mm at the hinge side, 5 mm at the lock side",
        ),
    ),
    Rule(
        "gaps.uneven",
        tuple(point for point in POINTS[SIDES] if not point.startswith("gaps.head_")),
        "The gap along one side is the same from top to bottom, within 2 mm.",
        Severity.PLANNED,
        _uneven,
        Example(
            {},
            {"gaps.lock_top": _mm_answer("1"), "gaps.lock_bottom": _mm_answer("4")},
            "lock side gap from 1 to 4 mm",
        ),
    ),
)
SEVERAL_RULE = Rule(
    "door.several",
    (),
    "Three faults of one severity or graver count as one of the next graver severity.",
    Severity.ACT_NOW,
    _several,
    Example(
        {},
        {"seals": _fault("painted"), "latch": _fault("stiff"), "sign.here": _fault("wrong")},
        "3 faults together",
    ),
    mildest=Severity.PLANNED,
)
