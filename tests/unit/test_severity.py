"""How soon a finding is dealt with: four names, their order, their target times."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pydantic import ValidationError

from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.severity import Severity, Targets, most_severe, next_severity

FOUND = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)


def finding(verdict: Verdict, **more: object) -> Finding:
    words = dict.fromkeys(("rule", "question", "component", "what", "why", "do_now", "source"), "x")
    return Finding.model_validate({**words, "verdict": verdict, **more})


def test_the_four_severities_go_from_watch_to_act_now() -> None:
    assert [severity.value for severity in Severity] == ["watch", "planned", "soon", "act now"]
    assert [severity.rank for severity in Severity] == [0, 1, 2, 3]


def test_the_gravest_counts() -> None:
    assert most_severe([Severity.SOON, Severity.ACT_NOW, Severity.WATCH]) is Severity.ACT_NOW
    assert most_severe([Severity.WATCH, Severity.PLANNED]) is Severity.PLANNED
    assert most_severe([]) is None


def test_one_graver_ends_at_act_now() -> None:
    assert [next_severity(severity).value for severity in Severity] == [
        "planned",
        "soon",
        "act now",
        "act now",
    ]


@pytest.mark.parametrize(
    ("severity", "days", "due"),
    [
        # common practice, no source, until the responsible person sets others
        (Severity.ACT_NOW, 0, datetime(2026, 3, 2, 9, 30, tzinfo=UTC)),
        (Severity.SOON, 7, datetime(2026, 3, 9, 9, 30, tzinfo=UTC)),
        (Severity.PLANNED, 28, datetime(2026, 3, 30, 9, 30, tzinfo=UTC)),
        (Severity.WATCH, None, None),
    ],
)
def test_each_severity_has_a_target_time(
    severity: Severity, days: int | None, due: datetime | None
) -> None:
    assert Targets().days(severity) == days
    assert Targets().due(severity, FOUND) == due


def test_the_responsible_person_sets_other_target_times() -> None:
    ours = Targets(act_now=0, soon=3, planned=14, watch=90)
    assert [ours.days(severity) for severity in Severity] == [90, 14, 3, 0]
    with pytest.raises(ValidationError, match="greater than or equal to 0"):
        Targets(soon=-1)


def test_a_finding_kept_before_there_were_severities_gets_the_graver_one() -> None:
    assert finding(Verdict.DEFECT).severity is Severity.SOON
    assert finding(Verdict.ACT_NOW).severity is Severity.ACT_NOW
    assert finding(Verdict.UNKNOWN).severity is None
    assert finding(Verdict.DEFECT, severity="watch").severity is Severity.WATCH
