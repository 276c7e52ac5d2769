"""Settings that affect due dates and target dates: as plain data, for the logbook. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.intervals import AppliedRule, HouseInterval, Intervals
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.recurrence import read_recurrence


def settings_of(plan: Plan) -> dict[str, Any]:
    """A plan's intervals and target days, as in JSON."""
    intervals = plan.intervals
    return {
        "rules": [rule.value for rule in intervals.rules],
        "uses": {use.value: _written(every) for use, every in intervals.uses.items()},
        "doors": {number: _written(every) for number, every in intervals.doors.items()},
        "defects": plan.defects.model_dump(mode="json"),
    }


def with_settings(plan: Plan, settings: Mapping[str, Any]) -> Plan:
    """The plan with its intervals and target days replaced by those."""
    intervals = Intervals(
        tuple(AppliedRule(rule) for rule in settings["rules"]),
        {Use(use): _read(every) for use, every in settings["uses"].items()},
        {number: _read(every) for number, every in settings["doors"].items()},
    )
    known = {key: days for key, days in settings["defects"].items() if key in Targets.model_fields}
    return replace(plan, intervals=intervals, defects=Targets.model_validate(known))


def _written(interval: HouseInterval) -> dict[str, str]:
    return {"every": interval.every.written, "why": interval.why, "by": interval.by}


def _read(written: Mapping[str, str]) -> HouseInterval:
    return HouseInterval(read_recurrence(written["every"]), written["why"], written["by"])
