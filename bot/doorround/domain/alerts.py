"""A danger goes to the supervisors at once: which findings, when they are sure enough, in which
words. Pure.

A caretaker may take back what was heard wrongly, and may never come to sign. So a danger is told
when it is confirmed, or when the talk has gone on without its being taken back; at the latest at
the signature, or after SILENCE.
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
"""A danger that stands so long is told, whether anything else is said at that door or not."""
TOO_OLD = timedelta(hours=24)
"""What was found longer ago, while nothing was running, comes with the reminders and the
summary.
"""


@dataclass(frozen=True)
class Reach:
    """names: supervisors of a site who are written to about a danger, but for who found it.
    at_once: not only when the quiet hours end. known: rules whose dangers at that door they were
    told of before this check.
    """

    names: tuple[str, ...]
    at_once: bool = True
    known: frozenset[str] = frozenset()


def dangers(check: Check) -> dict[str, Finding]:
    """What is to be acted on now and was not put right on the spot, by its rule."""
    found = (each for findings in check.findings.values() for each in findings)
    return {
        each.rule: each
        for each in found
        if each.severity is Severity.ACT_NOW and not each.made_good
    }


def reported_dangers(check: Check) -> dict[str, Finding]:
    """What would be to be acted on now, was reported, and got neither a yes nor a no; by its
    rule.
    """
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
    """Those that are to be told now: confirmed, or the talk went on without their being taken
    back.
    """
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
