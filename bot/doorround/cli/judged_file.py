"""A judged file: what counts on the day, and the verdict for programs."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import Judgement

ALARM_TEST_COUNTS = timedelta(days=365)


def on_day(door: Door, today: date) -> tuple[Door, tuple[str, ...]]:
    """The door without an alarm test too old to count on that day, with a note about it. A file has
    no check date: a test a year earlier is too old for any (common practice, no source).
    """
    seen = door.alarm_release
    if seen is None or timedelta(0) <= today - seen <= ALARM_TEST_COUNTS:
        return door, ()
    why = "still to come" if seen > today else "too long ago"
    note = f"Alarm test of {seen}: {why}, so it shows nothing."
    return door.model_copy(update={"alarm_release": None}), (note,)


def judgement_json(door: Door, judgement: Judgement, checklist: Checklist) -> dict[str, Any]:
    """A verdict for programs; docs/judging.md describes every field."""
    data = judgement.model_dump(mode="json", exclude={"together", "findings"})
    across = {(each.rule, each.question) for each in judgement.together}
    targets = checklist.rules.targets
    findings = [
        {
            **finding.model_dump(mode="json"),
            "across": (finding.rule, finding.question) in across,
            "days": (
                targets.days(finding.severity)
                if finding.severity and not finding.made_good
                else None
            ),
        }
        for finding in judgement.findings
    ]
    return {"door": door.number, **data, "severity": judgement.severity, "findings": findings}
