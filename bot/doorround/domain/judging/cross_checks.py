"""Rules across answers: a dropped leaf, uneven gaps, several faults that add up to a larger one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from doorround.domain.door import Closer, Latch
from doorround.domain.findings import Finding
from doorround.domain.judging.causes import one_each_cause
from doorround.domain.judging.closers import no_closer
from doorround.domain.judging.contradictions import contradictions
from doorround.domain.judging.fittings import WAY_OUT_AMERICAN, locked_way_out
from doorround.domain.judging.formatting import in_words
from doorround.domain.judging.gaps import POINTS, SIDES
from doorround.domain.judging.rule import COMPETENT, REPORT, Example, JudgedAnswer, Rule
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity, most_severe, next_severity
from doorround.domain.judging.statics import dropped_leaf
from doorround.domain.parts import fault_with_part
from doorround.domain.values import Choice, Measure, Unit, Value, YesNo

# 3 ± 1 mm (BS 8214:2016, secondary): two points on one edge may differ by 2 mm and both be in range
UNEVEN_MM = Fraction(2)
# This many faults add up to a larger one: common practice, no source
SEVERAL = 3


@dataclass(frozen=True)
class CrossCheck:
    """A check across answers. at: questions whose answers trigger it."""

    at: tuple[str, ...]
    judge: Callable[[JudgedAnswer], list[Finding]]


def _mm(value: Value | None) -> Fraction | None:
    return value.mm if isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH) else None


def _dropped(answer: JudgedAnswer) -> list[Finding]:
    door = answer.door
    hinge, lock = (_mm(answer.others.get(f"gaps.head_{end}")) for end in ("hinge", "lock"))
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
    return answer.finding("leaf.out_of_square", Severity.SOON, what, why, REPORT, COMMON)


def _uneven(answer: JudgedAnswer) -> list[Finding]:
    for edge in ("hinge", "lock"):
        measured = [
            (mm, point)
            for point in POINTS[SIDES]
            if point.startswith(f"gaps.{edge}_")
            if (mm := _mm(answer.others.get(point))) is not None
        ]
        if not measured:
            continue
        least, _ = min(measured)
        most, _ = max(measured)
        if most - least > UNEVEN_MM:
            what = f"{edge} side gap from {in_words(least)} to {in_words(most)} mm"
            why = "An uneven gap means a leaf or frame out of shape, or a leaf that has dropped."
            return answer.finding("gaps.uneven", Severity.PLANNED, what, why, REPORT, COMMON)
    return []


def _several(answer: JudgedAnswer) -> list[Finding]:
    """Three faults of one severity or higher count as one of the next severity up; reported unless
    one is already that severe, at the most severe of them.
    """
    faults = [each for each in _counted(answer.found) if each.severity]
    bad = [each.severity for each in faults if each.severity]
    worst = most_severe(bad)
    for severity in (Severity.SOON, Severity.PLANNED, Severity.WATCH):
        counted = sum(1 for each in bad if each.rank >= severity.rank)
        together = next_severity(severity)
        if counted >= SEVERAL and worst is not None and together.rank > worst.rank:
            first = next(each for each in faults if each.severity is worst)
            named = fault_with_part(first.component, first.what, first.face)
            what = f"{named}, and {counted - 1} more faults"
            why = (
                f"{SEVERAL} faults or more of “{severity}” count as one of “{together}”: they add"
                " up in a fire."
            )
            do_now = (
                "Tell the supervisor at once; keep the door shut. A competent person looks at it."
                if together is Severity.ACT_NOW
                else COMPETENT
            )
            found = answer.finding("door.several", together, what, why, do_now, COMMON)
            return _of(first.component, found)
    return []


def _counted(found: tuple[Finding, ...]) -> list[Finding]:
    """Faults, one per cause; those affecting only ease of use do not count."""
    return one_each_cause(each for each in found if not each.access)


def _register_without_closer(answer: JudgedAnswer) -> list[Finding]:
    """The register says that nothing closes the door, and no closing test shows otherwise."""
    door = answer.door
    answered = answer.others.get("register.closer")
    locked_in_vain = door.closer is Closer.KEPT_LOCKED and _found_open(answer)
    if not (door.closer is Closer.MISSING or locked_in_vain) or isinstance(answered, Choice):
        return []
    if any(each.field == "closer" for each in contradictions(door, answer.others)):
        return []
    return _of("closer", no_closer(answer, "no closer, by the register"))


def _found_open(answer: JudgedAnswer) -> bool:
    """Whether a door that may not be kept locked was found open: so no lock keeps it shut
    either.
    """
    return not answer.door.may_be_kept_locked and _says(answer, "lock.way_out", yes=True)


def _latch_wanted(answer: JudgedAnswer) -> list[Finding]:
    if answer.rules.kin != "nfpa-80" or answer.door.latch is not Latch.NONE:
        return []
    if any(each.field == "latch" for each in contradictions(answer.door, answer.others)):
        return []
    why = "A fire door latches each time it closes, unless its listing says that it need not."
    source = "NFPA 80, item 9 (secondary); 6.4.4: unless listed without (from memory)"
    found = answer.finding("latch.wanted", Severity.SOON, "no latch", why, COMPETENT, source)
    return _of("latch", found)


def _closer_wanted(answer: JudgedAnswer) -> list[Finding]:
    """A lock replaces a closer, where NFPA 80 makes no such provision."""
    if answer.rules.kin != "nfpa-80" or not answer.door.held_by_its_lock:
        return []
    if any(each.field == "closer" for each in contradictions(answer.door, answer.others)):
        return []
    why = "Every fire door has a closer, unless the authority permits that it has none."
    do_now = f"Keep it locked. {COMPETENT} What the authority permitted goes into rules.toml."
    found = answer.finding(
        "closer.wanted", Severity.SOON, "no closer, kept locked", why, do_now, CLOSER_WANTED
    )
    return _of("closer", found)


def _of(component: str, findings: list[Finding]) -> list[Finding]:
    """Findings about a part other than the one whose answer reports them."""
    return [each.model_copy(update={"component": component}) for each in findings]


def _locked_escape(answer: JudgedAnswer) -> list[Finding]:
    """A room registered with another use that is nevertheless on an escape route, and that was
    locked.
    """
    if not _says(answer, "lock.escape", yes=True) or answer.door.way_out:
        return []
    if not (_says(answer, "lock.way_out", yes=False) or _says(answer, "lock", yes=True)):
        return []
    what = "was locked, and is an escape route or the way in to a home"
    return locked_way_out(answer, "lock.escape_route", what)


def _says(answer: JudgedAnswer, key: str, *, yes: bool) -> bool:
    value = answer.others.get(key)
    return isinstance(value, YesNo) and value.yes is yes


def _mm_answer(amount: str) -> dict[str, str]:
    return {"kind": "measure", "amount": amount, "unit": "mm"}


def _fault(name: str) -> dict[str, object]:
    return {"kind": "condition", "defects": [{"name": name}]}


CLOSER_WANTED = "NFPA 80, item 7 (secondary); 6.4.1.1: unless the authority permits (from memory)"
_ALWAYS = ("clear", "leaf.here", "closer.full", "closer.ajar")
"""Questions of every door: a rule based on the register speaks at the last one answered."""

REGISTER_CHECKS = (CrossCheck((*_ALWAYS, "lock.way_out"), _register_without_closer),)
"""What the register alone shows, under a rule that also applies to answers."""

CROSS_CHECKS = (
    Rule(
        "latch.wanted",
        _ALWAYS,
        "A door under NFPA 80 has a latch, unless it is listed without.",
        Severity.SOON,
        _latch_wanted,
        Example({"latch": "none"}, {"clear": {"kind": "condition"}}, "no latch", "nfpa-80"),
        "NFPA 80, item 9 (secondary)",
    ),
    Rule(
        "closer.wanted",
        _ALWAYS,
        "A door under NFPA 80 has a closer, though it is kept locked.",
        Severity.SOON,
        _closer_wanted,
        Example(
            {"closer": "none, kept locked", "use": "riser"},
            {"clear": {"kind": "condition"}},
            "no closer, kept locked",
            "nfpa-80",
        ),
        CLOSER_WANTED,
    ),
    Rule(
        "lock.escape_route",
        ("lock.escape", "lock.way_out", "lock"),
        "No escape route and no way in to a home is locked, whatever the room is called.",
        Severity.ACT_NOW,
        _locked_escape,
        Example(
            {"closer": "none, kept locked", "use": "office"},
            {
                "lock.escape": {"kind": "yes_no", "yes": True},
                "lock.way_out": {"kind": "yes_no", "yes": False},
            },
            "was locked, and is an escape route or the way in to a home",
        ),
        "Regulatory Reform (Fire Safety) Order 2005, article 14 (2) (f) (secondary)",
        american=WAY_OUT_AMERICAN,
    ),
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
        {
            "frame.here": _fault("corroded"),
            "latch": _fault("stiff"),
            "sign.here": _fault("wrong"),
        },
        "frame: rusty, and 2 more faults",
    ),
    mildest=Severity.PLANNED,
)
