"""Contradictions between the register and what was seen. What was seen prevails; until somebody
records the facts, the door is not shown to be fit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from doorround.domain.door import (
    Closer,
    Door,
    Fitted,
    Glazing,
    HoldOpen,
    Latch,
    Leaves,
    Screens,
    Seals,
)
from doorround.domain.findings import Finding
from doorround.domain.judging.formatting import in_words
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.values import Choice, Condition, Count, Measure, Unit, Value, YesNo

RULE = "register.contradicted"


@dataclass(frozen=True)
class Denied:
    """A register field saying that a part does not exist. field: of the door; by: values that say
    so. at: questions whose answers may reveal the part after all. but: faults that themselves
    report it missing.
    """

    field: str
    by: tuple[Any, ...]
    at: tuple[str, ...]
    but: tuple[str, ...] = ("missing",)

    def shown_by(self, key: str, value: Value) -> bool:
        """Whether an answer shows the part that the register denies."""
        if key not in self.at:
            return False
        match value:
            case Condition(defects=defects):
                return not defects or any(each.name not in self.but for each in defects)
            case YesNo(yes=yes):
                return yes
            case Choice(chosen=chosen):
                return chosen != "unknown"
            case Measure() | Count():
                return True
        return False


_TESTS = tuple(f"closer.{test}{leaf}" for test in ("full", "ajar") for leaf in ("", "_second"))
_NOT_CLOSING = ("missing", "not_closing", "stops_short", "broken", "disconnected")
_SECOND = (
    *("leaf.here_second", "leaf.beyond_second", "gaps.sides_second", "seals_second"),
    *("hinges.count_second", "hinges.fixings_second", "latch_second"),
    *(test for test in _TESTS if test.endswith("_second")),
)
DENIED = (
    Denied("closer", (Closer.MISSING, Closer.KEPT_LOCKED), _TESTS, _NOT_CLOSING),
    Denied(
        "latch",
        (Latch.NONE, Latch.LISTED_WITHOUT),
        ("latch", "latch_second", "lock"),
        ("missing", "hole", "not_latching"),
    ),
    Denied("glazing", (Glazing.NONE,), ("glass.here", "glass.beyond", "mark"), ()),
    Denied("seals", (Seals.NONE,), ("seals", "seals_second", "register.seals_in")),
    Denied("threshold_seal", (Fitted.NO,), ("threshold",)),
    Denied("hold_open", (HoldOpen.NONE,), ("hold_open", "alarm_release")),
    # locked shut on arrival: nothing holds it open
    Denied("hold_open", (HoldOpen.ALARM_LINKED, HoldOpen.ACOUSTIC), ("lock",)),
    Denied("letter_plate", (Fitted.NO,), ("letter_plate",), ()),
    Denied("screens", (Screens.NONE,), ("screens",), ()),
    Denied("leaves", (Leaves.ONE,), ("coordinator", "gaps.meeting", *_SECOND), ()),
)
FIELDS = {
    "closer": "closer",
    "latch": "latch",
    "glazing": "glass",
    "seals": "seals",
    "threshold_seal": "threshold seal",
    "hold_open": "hold-open",
    "letter_plate": "letter plate",
    "screens": "glass beside or above",
    "leaves": "leaves",
}
QUESTIONS = {
    **{field: f"register.{field}" for field in FIELDS},
    "threshold_seal": "register.threshold",
}
"""Register field → the question of a checklist that fills it."""


def as_answered(
    door: Door, answers: Mapping[str, Value], fills: Callable[[str], str | None]
) -> tuple[Door, tuple[str, ...]]:
    """The door updated with what the same check reported, and each difference from the register in
    words. fills: question key → the field that its answer fills, if any.
    """
    learnt_fields = {
        field: learnt
        for key, value in answers.items()
        if (field := fills(key)) and field != "hinges" and (learnt := _learnt(value)) is not None
    }
    try:
        now = Door.model_validate({**door.model_dump(mode="json"), **learnt_fields})
    except ValidationError:
        return door, ()
    changed = [
        field for field in learnt_fields if getattr(door, field) not in (None, getattr(now, field))
    ]
    return now, tuple(
        f"Register put right, {field.replace('_', ' ')}: {getattr(door, field)} before,"
        f" {getattr(now, field)} as seen."
        for field in changed
    )


def _learnt(value: Value) -> Any:
    match value:
        case Choice(chosen=chosen):
            return None if chosen == "unknown" else chosen
        case Measure(unit=Unit.KG, amount=amount):
            return float(in_words(amount))
        case Measure(unit=Unit.MM | Unit.INCH):
            return float(in_words(value.mm))
    return None


@dataclass(frozen=True)
class Contradiction:
    """field: of the door. question: whose answer shows what the register denies."""

    field: str
    question: str


def contradictions(door: Door, answers: Mapping[str, Value]) -> tuple[Contradiction, ...]:
    """Every field of the door that an answer contradicts, each once."""
    return tuple(
        Contradiction(denied.field, keys[0])
        for denied in DENIED
        if getattr(door, denied.field) in denied.by
        and (keys := [key for key in answers if _shown(door, denied, key, answers[key])])
    )


def denied_parts(door: Door) -> frozenset[str]:
    """Questions about parts that the door lacks according to the register, or that do not apply to
    it.
    """
    parts = {
        key for denied in DENIED if getattr(door, denied.field) in denied.by for key in denied.at
    }
    return frozenset(parts | {"letter_plate"} if not door.known_letter_plate else parts)


def _shown(door: Door, denied: Denied, key: str, value: Value) -> bool:
    """Whether an answer shows the denied part. With a free-swing closer, the alarm releases the
    closer itself.
    """
    if key == "alarm_release" and door.closer is Closer.FREE_SWING:
        return False
    return denied.shown_by(key, value)


def with_closer_seen(door: Door, answers: Mapping[str, Value]) -> Door:
    """A door whose closer nobody mentioned, though a closing test showed one: no lock
    replaces it.
    """
    shows = next(denied for denied in DENIED if denied.field == "closer")
    if door.closer is not None or not any(shows.shown_by(*each) for each in answers.items()):
        return door
    return door.model_copy(update={"closer": Closer.OVERHEAD})


def as_seen(door: Door, found: tuple[Contradiction, ...]) -> Door:
    """The door with contradicted fields cleared, so that everything depending on them is asked."""
    return door.model_copy(update={each.field: None for each in found})


def contradiction_finding(door: Door, found: Contradiction, component: str) -> Finding:
    """The text for one contradiction."""
    part = FIELDS[found.field]
    return Finding(
        rule=RULE,
        question=found.question,
        component=component,
        what=f"{part}: “{getattr(door, found.field)}” by the register, and seen to be otherwise",
        why="What was seen counts, and what hangs on it has not been looked at.",
        do_now="Say what is there; the supervisor puts the register right.",
        source=COMMON,
    )


def register_change(before: Door, field: str, value: Any) -> dict[str, Any]:
    """A register change as entered, with the previous value."""
    was = before.model_dump(mode="json")[field]
    put_right = {} if was is None or value is None else {"before": was}
    return {"field": field, "value": value, **put_right}
