"""Closers: the right size, how fast they shut, how hard the door is to open."""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.door import Closer, Door
from doorround.domain.findings import Finding
from doorround.domain.judging.formatting import amount_words, in_words
from doorround.domain.judging.rule import COMPETENT, EVIDENCE, Example, JudgedAnswer, Rule
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import CLOSER_SIZES, closer_size
from doorround.domain.values import Choice, Condition, Measure, Unit

EN_1154 = "EN 1154:1996+A1:2002, table 1 (secondary)"


_FORCES = (Unit.NEWTON, Unit.POUND_FORCE)


def _leaf(door: Door) -> str:
    facts = ((door.leaf_width_mm, "mm wide"), (door.leaf_mass_kg, "kg"))
    return " and ".join(f"{known:g} {words}" for known, words in facts if known is not None)


def _closer_too_small(answer: JudgedAnswer) -> list[Finding]:
    door = answer.door
    if not isinstance(answer.value, Condition) or (door.closer_size is None and not _leaf(door)):
        return []
    if door.needs_closer is False:
        return []
    wanted = closer_size(door.leaf_width_mm, door.leaf_mass_kg)
    rule = "closer.too_small"
    if wanted is None:
        widest, heaviest = CLOSER_SIZES[7]
        what = (
            f"leaf of {_leaf(door)}: beyond the table of closers, which ends at {widest} mm and"
            f" {heaviest} kg"
        )
        why = "No size of closer is published for so large a leaf."
        return answer.finding(
            rule,
            Severity.SOON,
            what,
            why,
            "Report it; the maker of the closer says which fits.",
            EN_1154,
        )
    if door.closer_size is None or door.closer_size >= wanted:
        return []
    leaf = f" for {_leaf(door)}" if _leaf(door) else ", the least for a fire door"
    what = f"closer of size {door.closer_size}, size {wanted} wanted{leaf}"
    why = "A closer too weak for its leaf does not overcome latch, seals and draught for long."
    return answer.finding(rule, Severity.SOON, what, why, f"{COMPETENT} {EVIDENCE}", EN_1154)


def _closing_time(answer: JudgedAnswer) -> list[Finding]:
    value = answer.value
    limit = answer.rules.limits.get("closer.seconds")
    if limit is None or not isinstance(value, Measure) or value.unit is not Unit.SECOND:
        return []
    took = f"{in_words(value.amount)} s from 90°{' to 12°' if limit.access else ''}"
    report = "Report it; a competent person adjusts the closer."
    how_soon = Severity.PLANNED if limit.access else Severity.SOON
    if limit.least is not None and limit.too_little(value.amount):
        what = f"{took}, {amount_words(limit, limit.least)} at least"
        why = "A door that shuts too fast hurts people and shakes itself loose."
        return answer.finding(
            "closer.time",
            how_soon,
            what,
            why,
            f"Mind fingers. {report}",
            limit.source,
            access=limit.access,
        )
    severity = limit.grade(value.amount)
    if severity is None or limit.access:
        return []
    edge = limit.watch if severity is Severity.WATCH else limit.most
    assert edge is not None
    what = (
        f"{took}, {amount_words(limit, edge)} is"
        f" {'usual' if severity is Severity.WATCH else 'the most'}"
    )
    why = "A door that dawdles is open too long."
    return answer.finding("closer.time", severity, what, why, report, limit.source)


def _opening_force(answer: JudgedAnswer) -> list[Finding]:
    limit = answer.rules.limits.get(
        {"closer.force_low": "force.0_30"}.get(answer.question.key, "force.30_60")
    )
    value = answer.value
    if (
        limit is None
        or limit.most is None
        or not isinstance(value, Measure)
        or value.unit not in _FORCES
    ):
        return []
    if value.newtons <= limit.exact(limit.most):
        return []
    force = value.newtons / limit.exact(Fraction(1))
    what = f"{in_words(force)} {limit.unit} to open, {amount_words(limit, limit.most)} allowed"
    why = "Who is weak, old or in a wheelchair cannot open it."
    do_now = (
        "Report it; a competent person adjusts the closer, never so far that the door no longer"
        " shuts."
    )
    return answer.finding(
        "closer.force",
        Severity.PLANNED,
        what,
        why,
        do_now,
        limit.source,
        access=limit.access,
    )


NO_CLOSER = "register.no_closer"


def _no_closer(answer: JudgedAnswer) -> list[Finding]:
    """Missing closer reported at the door; the register alone is handled by the cross-checks."""
    if not isinstance(answer.value, Choice) or answer.value.chosen != Closer.MISSING:
        return []
    return no_closer(answer, "no closer")


def no_closer(answer: JudgedAnswer, what: str) -> list[Finding]:
    """A door that must be self-closing but has nothing to close it."""
    why = "Every fire door that is not kept locked must close by itself."
    do_now = "Shut it and tell the supervisor at once; a competent person fits a closer."
    source = answer.cites("GOV.UK, fire door guidance (secondary)", "NFPA 80, item 7 (secondary)")
    return answer.finding(NO_CLOSER, Severity.ACT_NOW, what, why, do_now, source)


def _measured(amount: str, unit: str) -> dict[str, str]:
    return {"kind": "measure", "amount": amount, "unit": unit}


CLOSER_RULES = (
    Rule(
        "closer.too_small",
        ("closer.full",),
        "The closer's power size fits the leaf's width and mass, the larger of both; a fire door"
        " has at least size 3.",
        Severity.SOON,
        _closer_too_small,
        Example(
            {"closer_size": 3, "leaf_width_mm": 1000, "leaf_mass_kg": 50, "closer": "overhead"},
            {"closer.full": {"kind": "condition"}},
            "closer of size 3, size 4 wanted for 1000 mm wide and 50 kg",
        ),
        EN_1154,
    ),
    Rule(
        "closer.time",
        ("closer.seconds",),
        "The door takes neither too short nor too long from 90° to shut.",
        Severity.SOON,
        _closing_time,
        Example({}, {"closer.seconds": _measured("2", "s")}, "2 s from 90°, 3 s at least"),
        limits=("closer.seconds",),
        mildest=Severity.WATCH,
    ),
    Rule(
        "closer.force",
        ("closer.force_low", "closer.force_high"),
        "The door opens with no more force than people have.",
        Severity.PLANNED,
        _opening_force,
        Example({}, {"closer.force_low": _measured("35", "N")}, "35 N to open, 30 N allowed"),
        "BS 8300, Approved Document M (secondary)",
        limits=("force.0_30", "force.30_60"),
    ),
    Rule(
        "register.no_closer",
        ("register.closer",),
        "A door that is not kept locked has a closer.",
        Severity.ACT_NOW,
        _no_closer,
        Example({}, {"register.closer": {"kind": "choice", "chosen": "none"}}, "no closer"),
        "GOV.UK, fire door guidance (secondary)",
        american="NFPA 80, item 7 (secondary)",
    ),
)
