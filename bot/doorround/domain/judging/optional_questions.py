"""Optional measurements beyond a checklist's questions: gaps at three points of each edge, closing
time, force.
"""

from __future__ import annotations

from doorround.domain.checklist import Checklist, Question
from doorround.domain.judging.gaps import POINTS
from doorround.domain.values import Unit


def _extra(key: str, component: str, unit: Unit, ask: str) -> Question:
    return Question(
        key=key,
        component=component,
        kind="measure",
        says="measure.gap",
        unit=unit.value,
        ask=ask,
        terse=ask,
        help="Use a gauge.",
        example="not measured",
        taps=("not measured",),
    )


EXTRAS = {
    **{
        point: _extra(
            point, "gaps", Unit.MM, f"Gap, {point.removeprefix('gaps.').replace('_', ', ')}?"
        )
        for points in POINTS.values()
        for point in points
    },
    "closer.seconds": _extra(
        "closer.seconds", "closer", Unit.SECOND, "Seconds from 90 degrees to shut?"
    ),
    "closer.force_low": _extra(
        "closer.force_low", "closer", Unit.NEWTON, "Newtons to open, up to 30 degrees?"
    ),
    "closer.force_high": _extra(
        "closer.force_high", "closer", Unit.NEWTON, "Newtons to open, 30 to 60 degrees?"
    ),
}


def question_of(key: str, checklist: Checklist) -> Question:
    """The question of that key, from the checklist or the optional ones. Raises KeyError."""
    return (
        next((each for each in checklist.question if each.key == key), None)
        or EXTRAS.get(key)
        or _missing(key)
    )


def _missing(key: str) -> Question:
    raise KeyError(key)
