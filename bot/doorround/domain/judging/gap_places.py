"""Gaps given point by point: the worst is judged as the answer, and each is a point for
cross-checks.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from doorround.domain.findings import Finding
from doorround.domain.gap_points import NAMES, SEVERAL_EDGES
from doorround.domain.judging.rule import JudgedAnswer
from doorround.domain.judging.rule_catalogue import rules_at
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.two_leaves import of_second_leaf
from doorround.domain.values import Measure, Spot, Value


def apart(answers: Mapping[str, Value]) -> dict[str, Value]:
    """The answers, plus each gap point as an answer of its own: "gaps.head_hinge"."""
    points = {
        f"gaps.{spot.edge}_{spot.place}": Measure(amount=spot.amount, unit=value.unit)
        for key, value in answers.items()
        if not of_second_leaf(key)
        if isinstance(value, Measure)
        for spot in value.spots
        if spot.place
    }
    return {**answers, **points}


def judged_places(answer: JudgedAnswer) -> list[Finding]:
    """Findings on gaps at several points: for the widest and the narrowest, each rule once, the
    more severe.
    """
    value = answer.value
    assert isinstance(value, Measure)
    narrowest = min(value.spots, key=lambda spot: spot.amount)
    widest = max(value.spots, key=lambda spot: spot.amount)
    found: dict[str, Finding] = {}
    for spot in (narrowest, widest):
        alone = Measure(amount=spot.amount, unit=value.unit)
        at = JudgedAnswer(answer.door, answer.question, alone, answer.rules, answer.others)
        for each in (
            finding for rule in rules_at(answer.question.key) for finding in rule.judge(at)
        ):
            before = found.get(each.rule)
            # the wider of two gaps too wide, the narrower of two too narrow, whichever came first
            if before is None or _rank(each) > _rank(before) or "too_wide" in each.rule:
                found[each.rule] = each.model_copy(update={"what": f"{each.what}{_where(spot)}"})
    return [*found.values(), *_rest(answer, value)]


def _rank(finding: Finding) -> int:
    return finding.severity.rank if finding.severity else -1


def _where(spot: Spot) -> str:
    """ ", head, middle": appended to the finding."""
    edge = NAMES[spot.edge] if spot.edge in SEVERAL_EDGES else ""
    return "".join(f", {part}" for part in (edge, _PLACES.get(spot.place, spot.place)) if part)


_PLACES = {"hinge": "at the hinge side", "lock": "at the lock side"}


def _rest(answer: JudgedAnswer, value: Measure) -> list[Finding]:
    """Edges without a value while others were measured point by point: not seen, so not a pass."""
    if not value.unmeasured:
        return []
    fields: dict[str, Any] = {
        "what": f"not measured: {edges_words(value.unmeasured)}",
        "why": "A part that was not seen is not known to be sound.",
        "do_now": "Measure it as soon as it can be reached.",
    }
    key = answer.question.key
    part = answer.question.component
    return [Finding(rule="gaps.not_seen", question=key, component=part, source=COMMON, **fields)]


def edges_words(edges: tuple[str, ...]) -> str:
    """Edges in words: "hinge side and lock side"."""
    *some, last = (NAMES[edge] for edge in edges)
    return f"{', '.join(some)} and {last}" if some else last
