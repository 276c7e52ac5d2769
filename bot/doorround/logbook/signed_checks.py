"""Signed checks as the plausibility rules want them."""

from __future__ import annotations

from doorround.domain.answers import Answer
from doorround.domain.findings import Verdict
from doorround.domain.judging.formatting import length
from doorround.domain.judging.judge import verdict
from doorround.domain.judging.plausibility import Given, SignedCheck
from doorround.domain.values import Measure, Unit
from doorround.logbook.reader import Reader
from doorround.logbook.records import CheckRecord


def signed_checks(logbook: Reader) -> list[SignedCheck]:
    """Every signed check, in the order started; no short looks at repairs."""
    return [
        _signed(logbook, kept)
        for kept in logbook.checks()
        if kept.stage == "signed" and kept.look is None
    ]


def _signed(logbook: Reader, kept: CheckRecord) -> SignedCheck:
    found = logbook.findings(kept.id)
    assert kept.closed is not None
    return SignedCheck(
        id=kept.id,
        door=kept.door,
        building=kept.building,
        person=kept.person,
        started=kept.started,
        signed=kept.closed,
        answers=tuple(_given(answer) for answer in logbook.answers(kept.id)),
        faults=sum(1 for each in found if each.finding.verdict is not Verdict.UNKNOWN),
    )


def _given(answer: Answer) -> Given:
    value = answer.value
    measured = isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH)
    return Given(
        question=answer.question,
        value=length(value.mm, Unit.MM) if measured and isinstance(value, Measure) else value.kind,
        at=answer.at,
        seen=verdict(value, ()) is not Verdict.UNKNOWN,
        recording=answer.audio_sha256,
        spoken=answer.spoken,
    )
