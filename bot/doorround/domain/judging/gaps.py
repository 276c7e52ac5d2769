"""Gaps: how wide they may be, by material, smoke control, rule set and the door's own evidence."""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.door import Door, Fitted, Frame, Material
from doorround.domain.findings import Finding
from doorround.domain.judging.formatting import amount_words, length
from doorround.domain.judging.rule import REPORT, Example, JudgedAnswer, Rule
from doorround.domain.judging.rule_set import COMMON, Limit, RuleSet
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Measure, Unit

SIDES = "gaps.sides"
MEETING = "gaps.meeting"
THRESHOLD = "gaps.threshold"
# Three points on each edge: judged in place of the single worst value.
POINTS = {
    SIDES: tuple(
        f"gaps.{edge}_{place}"
        for edge, places in (
            ("head", ("hinge", "middle", "lock")),
            ("hinge", ("top", "middle", "bottom")),
            ("lock", ("top", "middle", "bottom")),
        )
        for place in places
    ),
    MEETING: tuple(f"gaps.meeting_{place}" for place in ("top", "middle", "bottom")),
    THRESHOLD: tuple(f"gaps.threshold_{place}" for place in ("hinge", "middle", "lock")),
}
EDGE_OF = {point: edge for edge, points in POINTS.items() for point in (edge, *points)}
EDGE_OF[f"{SIDES}_second"] = SIDES
_WHY = "Fire and smoke pass through a gap that the seals cannot close."


def gap_limit(door: Door, edge: str, rules: RuleSet) -> Limit:
    """Permitted gap at an edge. The door's own evidence takes precedence over the set; unknowns are
    taken as the stricter value at both ends, and as smoke control. Evidence counts only if its
    document is named; a value for one end of a range leaves the other as published.
    """
    published = _published(door, edge, rules)
    if door.document is None:
        return published
    most = getattr(door, f"{edge.replace('gaps.', 'gap_')}_most_mm")
    least = door.gap_sides_least_mm if edge == SIDES else None
    if most is None and least is None:
        return published
    assert published.most is not None and published.grave is not None
    if least is None and published.least is not None:
        least = float(published.exact(published.least))
    allowed = published.exact(published.most) if most is None else Fraction(str(most))
    return Limit(
        unit=Unit.MM,
        most=allowed,
        least=None if least is None else min(Fraction(str(least)), allowed),
        # common practice, no source: the set's value, or twice what the evidence allows if that is
        # more
        grave=max(published.exact(published.grave), 2 * allowed),
        source=evidence_words(door),
    )


def evidence_words(door: Door) -> str:
    """The door's own evidence as a source."""
    return f"the door's own evidence: {door.document or 'as the register has it'}"


def _published(door: Door, edge: str, rules: RuleSet) -> Limit:
    """The set's limit. If the leaf material, or the frame material of a 20-minute door, is unknown,
    the minimum is the largest of those that may apply.
    """
    name = _limit_name(door, edge, rules)
    limit = rules.limits[name]
    if name in _THRESHOLDS_OF_WOOD and _by_its_maker(door, rules):
        source = f"{COMMON}: as for timber, until the maker's data stand in the register"
        return limit.model_copy(update={"makers": True, "source": f"{source}; {limit.source}"})
    for name in _may_hold(door, edge, rules):
        other = rules.limits[name]
        if other.least is not None and (limit.least is None or other.least > limit.least):
            unsure = f"{limit.source}; {other.source}; which of them holds is not known"
            limit = limit.model_copy(update={"least": other.least, "source": unsure})
    return limit


def _may_hold(door: Door, edge: str, rules: RuleSet) -> tuple[str, ...]:
    """Other limits that may apply, given what is known of a door."""
    where = f"gap.{'side' if edge == SIDES else 'meeting'}"
    twenty = f"{where}.twenty" in rules.limits and door.frame is None
    known = (Material.STEEL, Material.TIMBER)
    if edge == THRESHOLD or door.material is Material.STEEL or _by_its_maker(door, rules):
        return ()
    steel = () if door.material in known else (f"{where}.steel",)
    small = door.rating is None or door.rating.minutes <= 20
    return (*steel, f"{where}.twenty") if twenty and small else steel


def _by_its_maker(door: Door, rules: RuleSet) -> bool:
    """Whether the set publishes no limit for such a leaf, so that its manufacturer's data
    decide.
    """
    return door.material in _NOT_OF_WOOD and rules.limits["gap.side.steel"].makers


# 3 mm without a seal applies to every door that must hold back smoke
_THRESHOLDS_OF_WOOD = ("gap.threshold.plain", "gap.threshold.sealed")
_NOT_OF_WOOD = (Material.STEEL, Material.ALUMINIUM, Material.GLASS)


def _limit_name(door: Door, edge: str, rules: RuleSet) -> str:
    if edge == THRESHOLD:
        if door.threshold_seal is Fitted.YES:
            return "gap.threshold.sealed"
        return "gap.threshold.plain" if door.holds_smoke is False else "gap.threshold.smoke"
    where = f"gap.{'side' if edge == SIDES else 'meeting'}"
    if door.material is Material.STEEL or _by_its_maker(door, rules):
        return f"{where}.steel"
    twenty = door.rating is not None and door.rating.minutes <= 20
    if twenty and door.frame is Frame.STEEL and f"{where}.twenty" in rules.limits:
        return f"{where}.twenty"
    return f"{where}.timber"


def _length(answer: JudgedAnswer) -> Measure | None:
    value = answer.value
    return value if isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH) else None


RULE_OF = {
    SIDES: "gaps.too_wide",
    MEETING: "gaps.meeting_too_wide",
    THRESHOLD: "gaps.threshold_too_wide",
}


def _too_wide(answer: JudgedAnswer) -> list[Finding]:
    """Too wide is "soon"; above `grave` the door is out of action; between `watch` and the maximum,
    the gap is compared with the door's evidence.
    """
    value = _length(answer)
    edge = EDGE_OF[answer.question.key]
    limit = gap_limit(answer.door, edge, answer.rules)
    severity = limit.grade(value.mm, value.unit) if value else None
    if value is None or severity is None:
        return []
    if limit.makers and severity is Severity.SOON:
        return [_makers_data(answer, value, limit)]
    passed = limit.watch if severity is Severity.WATCH else limit.most
    says = "is usual, the door's evidence decides" if severity is Severity.WATCH else "allowed"
    do_now = (
        "You may compare it with the door's evidence." if severity is Severity.WATCH else REPORT
    )
    if severity is Severity.ACT_NOW:
        do_now = f"Tell the supervisor at once; keep the door shut. {REPORT}"
    assert passed is not None
    return answer.finding(
        RULE_OF[edge],
        severity,
        answer.against(value, limit, passed, says),
        _WHY,
        do_now,
        limit.source,
    )


def _makers_data(answer: JudgedAnswer, value: Measure, limit: Limit) -> Finding:
    """No published limit: the leaf manufacturer's limit decides, and is unknown."""
    return Finding(
        rule="gaps.makers_data",
        question=answer.question.key,
        component=answer.question.component,
        what=f"{length(value.mm, answer.rules.unit)}: the maker's data decide, and are not known",
        why=f"No British limit is published for leaves of {answer.door.material}; what their maker"
        " tested decides.",
        do_now="The supervisor asks for the maker's data and puts them into the register.",
        source=limit.source,
    )


def _too_wide_at(edge: str) -> Rule:
    names = {SIDES: "head or jambs", MEETING: "the meeting edges", THRESHOLD: "the threshold"}[edge]
    return Rule(
        key=RULE_OF[edge],
        at=(edge, *POINTS[edge]),
        says=f"The gap at {names} is no wider than the door's evidence, else the set, allows.",
        severity=Severity.ACT_NOW,
        mildest=Severity.WATCH if edge == THRESHOLD else Severity.SOON,
        judge=_too_wide,
        limits=tuple(f"gap.{kind}" for kind in _KINDS[edge]),
        source="the limit's own",
        example=_EXAMPLES[edge],
    )


_KINDS = {
    SIDES: ("side.timber", "side.steel", "side.twenty"),
    MEETING: ("meeting.timber", "meeting.steel", "meeting.twenty"),
    THRESHOLD: ("threshold.smoke", "threshold.plain", "threshold.sealed"),
}
_FIVE = {"kind": "measure", "amount": "5", "unit": "mm"}
_TWELVE = {"kind": "measure", "amount": "12", "unit": "mm"}
_EXAMPLES = {
    SIDES: Example({"material": "timber"}, {SIDES: _FIVE}, "5 mm, 4 mm allowed"),
    MEETING: Example({"leaves": "pair"}, {MEETING: _FIVE}, "5 mm, 4 mm allowed"),
    THRESHOLD: Example({"rating": "FD30"}, {THRESHOLD: _TWELVE}, "12 mm, 10 mm allowed"),
}


def _too_narrow(answer: JudgedAnswer) -> list[Finding]:
    value = _length(answer)
    edge = EDGE_OF[answer.question.key]
    limit = gap_limit(answer.door, edge, answer.rules)
    if value is None:
        return []
    why = "A leaf without room binds, above all when it is damp or painted again."
    if value.mm == 0:
        what = "leaf touches: no gap"
        do_now = "You may see whether the door still shuts by itself; report it."
        return answer.finding("gaps.too_narrow", Severity.SOON, what, why, do_now, COMMON)
    if limit.least is None or not limit.too_little(value.mm):
        return []
    what = answer.against(value, limit, limit.least, "at least")
    do_now = "You may see whether the leaf rubs or binds; report it if it does."
    return answer.finding("gaps.too_narrow", Severity.WATCH, what, why, do_now, limit.source)


GAP_RULES = (
    _too_wide_at(SIDES),
    _too_wide_at(MEETING),
    _too_wide_at(THRESHOLD),
    Rule(
        key="gaps.too_narrow",
        at=(SIDES, *POINTS[SIDES], MEETING, *POINTS[MEETING]),
        says=(
            "The leaf has the least room at its sides that the evidence, else the set, wants, and"
            " touches nowhere."
        ),
        severity=Severity.SOON,
        mildest=Severity.WATCH,
        judge=_too_narrow,
        limits=("gap.side.timber", "gap.side.steel", "gap.meeting.timber", "gap.meeting.steel"),
        source="the limit's own",
        example=Example(
            {}, {SIDES: {"kind": "measure", "amount": "1", "unit": "mm"}}, "1 mm, 2 mm at least"
        ),
    ),
)


def allowed_by_evidence(door: Door, edge: str, value: Measure, rules: RuleSet) -> str | None:
    """One sentence if a gap passes only by the door's own evidence; None otherwise."""
    published = _published(door, edge, rules)
    own = gap_limit(door, edge, rules)
    if own == published or own.grade(value.mm, value.unit) is not None:
        return None
    if published.grade(value.mm, value.unit) is None:
        return None
    assert published.most is not None
    return (
        f"allowed by {own.source}; {published.source} allows"
        f" {amount_words(published, published.most, rules.unit)}."
    )
