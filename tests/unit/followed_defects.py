"""A check of one door, and its defects as they are followed, for the tests of defects."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
import small_visit as visit

from doorround.domain.check import Stage
from doorround.domain.defects import DeedKind, Defect
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.severity import Targets
from doorround.domain.values import Value
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import Defects, read_defects
from doorround.logbook.store import Logbook

DAY = 1440
HERE = ("Alder House", "East", "14")


def check(
    logbook: Logbook,
    day: int,
    seals: Value | None = None,
    end: Stage | None = Stage.SIGNED,
    door: Door | None = None,
) -> None:
    """One check of door 14 on the so-many-th day after 2 March."""
    turn = visit.start(door or visit.door(), id=f"c{day}", minute=day * DAY)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "hinges.count", visit.THREE, day * DAY + 1)
    logbook.keep("chat", None, turn)
    if seals is not None:
        turn = visit.answer(turn.check, "seals", seals, day * DAY + 2)
        logbook.keep("chat", None, turn)
    if end is not None:
        logbook.keep("chat", None, visit.close(turn.check, day * DAY + 3, end))


def now(logbook: Logbook, day: int | None = None) -> Defects:
    return read_defects(
        logbook, Targets(), None if day is None else date(2026, 3, 2) + timedelta(days=day)
    )


def only(logbook: Logbook, day: int | None = None) -> Defect:
    [defect] = now(logbook, day).all.values()
    return defect


def grave(monkeypatch: pytest.MonkeyPatch, verdict: Verdict, made_good: bool = False) -> None:
    before = visit._findings

    def found(said: object) -> tuple[Finding, ...]:
        more = {"verdict": verdict, "severity": None, "made_good": made_good}
        return tuple(Finding.model_validate({**each.model_dump(), **more}) for each in before(said))  # type: ignore[arg-type]

    monkeypatch.setattr(visit, "_findings", found)


def made_good(logbook: Logbook, who: str, day: int) -> None:
    at = visit.at(day * DAY)
    act(logbook, only(logbook), DeedKind.MADE_GOOD, who, at, "seals replaced", no_photo="too dark")
