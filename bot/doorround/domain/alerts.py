"""Alerts to supervisors: which dangers, when to send them, in which words. Pure.

A caretaker may retract something misheard, or may never sign. So a danger is sent once it is
confirmed, or once the talk has moved on without a retraction; at the latest at the
signature, or after SILENCE.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from doorround.domain.check import Check, Stage
from doorround.domain.findings import Finding
from doorround.domain.judging.judge import judge
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Command

SILENCE = timedelta(minutes=2)
"""A danger that has stood this long is sent, whether or not anything else is said at that door."""
TOO_OLD = timedelta(hours=24)
"""Dangers older than this, found while the bot was down, are left to the reminders and the summary.
"""


@dataclass(frozen=True)
class Reach:
    """names: supervisors of a site to alert about a danger, except the person who found it.
    at_once: do not wait for the end of quiet hours. known: rules whose dangers at that door were
    already sent to them before this check.
    """

    names: tuple[str, ...]
    at_once: bool = True
    known: frozenset[str] = frozenset()


def dangers(check: Check) -> dict[str, Finding]:
    """Act-now findings that were not put right on the spot, by rule."""
    found = (each for findings in check.findings.values() for each in findings)
    return {
        each.rule: each
        for each in found
        if each.severity is Severity.ACT_NOW and not each.made_good
    }


def reported_dangers(check: Check) -> dict[str, Finding]:
    """Reported faults with neither a yes nor a no that would be act-now findings, by rule."""
    asked = check.checklist
    found = list[Finding]()
    for report in check.reported:
        if report.entered and not isinstance(report.said.value, Command):
            found += judge(check.door, asked.ask(report.question), report.said.value, asked)
    grave = {
        each.rule: each
        for each in found
        if each.severity is Severity.ACT_NOW and not each.made_good
    }
    return {rule: each for rule, each in grave.items() if rule not in dangers(check)}


def sure_dangers(check: Check) -> dict[str, Finding]:
    """The findings to send now: confirmed, or not retracted when the talk moved on."""
    gone_on = check.stage in (Stage.SIGNED, Stage.PAUSED, Stage.CANCELLED)
    sure = {
        key
        for key, each in check.answers.items()
        if gone_on or each.confirmed or key not in check.last
    }
    return {rule: each for rule, each in dangers(check).items() if each.question in sure}


def rules_made_good(check: Check) -> frozenset[str]:
    """Rules whose fault was put right on the spot."""
    return frozenset(
        each.rule for findings in check.findings.values() for each in findings if each.made_good
    )
