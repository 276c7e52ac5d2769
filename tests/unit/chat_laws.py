"""What must hold of the messages around a check, whatever comes and in whatever order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Check, Stage
from doorround.domain.defects import Defect
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import By
from doorround.logbook.records import EventRecord
from tests.unit.talk_faults import faults_in
from tests.unit.talk_laws import Law, laws_of_states
from tests.unit.talk_laws import passed as passed_at
from tests.unit.talk_ledger import READER
from tests.unit.talk_lines import Line

STILL = (
    "old tap",
    "twice",
    "held",
    "late",
    "photo",
    "old yes",
    "early yes",
    "early finish",
    "Mona",
    "restart",
)
"""Kinds of what changes no answer, and settles nothing that waits for a yes."""


@dataclass(frozen=True)
class Step:
    """One thing that happened. said: as a line of talk_ledger, where it is one at a door. keys:
    questions that may get an answer by it; None for any.
    """

    kind: str
    words: str = ""
    said: Line | None = None
    keys: frozenset[str] | None = None


@dataclass(frozen=True)
class Stand:
    """What is so between two steps. here: the check that stands in Kim's chat. open: all of hers,
    by id. judged: rules of own words that Mona has named, or said to be none.
    """

    here: Check | None
    open: dict[str, Check]
    defects: dict[int, Defect]
    seq: int
    judged: frozenset[str] = frozenset()


def laws(step: Step, before: Stand, after: Stand, entered: list[EventRecord]) -> Iterator[Law]:
    """Each law with what breaks it, empty where it holds."""
    there = before.here.id if before.here is not None else ""
    others = before.open.keys() - {there, after.here.id if after.here else ""}
    yield (
        "a check put aside stays as it is",
        [id for id in others if after.open.get(id) != before.open[id]],
    )
    yield (
        "no check is lost",
        [id for id in before.open.keys() - after.open.keys() if not _closed(after, id)],
    )
    if step.kind in STILL:
        yield f"nothing is answered by: {step.kind}", _changed(before, after)
    if step.kind in ("twice", "old tap", "restart", "late", "held"):
        yield (
            "what was dealt with enters nothing",
            [each.kind for each in entered if each.kind in (EntryKind.ANSWERED, EntryKind.MESSAGE)],
        )
    yield "no defect goes but by a signature or its supervisor", _gone(step, before, after, entered)
    check, now = before.here, after.here
    if step.kind in ("early no", "early finish") and check is not None and now is not None:
        yield "what was sent too early ends no check", now.closed
        yield "what was sent too early passes nothing", passed_at(now) - passed_at(check)
        yield "what was sent too early denies nothing", faults_in(check) - faults_in(now)
    if check is None or now is None or now.id != check.id or check.closed:
        return
    if now.closed:
        yield "what is signed is in the defects", _unlisted(now, after)
        return
    if step.keys is not None:
        yield "it answers only what it is about", _elsewhere(step, check, now)
    if step.kind in ("edit", "reply", "forward"):
        allowed = {check.open} if step.kind == "reply" else set()
        allowed |= set(step.keys or ()) if step.kind == "reply" else set()
        yield "nothing passes by it", passed_at(now) - passed_at(check) - allowed
    if step.kind in ("typed", "voice") and step.said is not None:
        messages = [each.body for each in entered if each.kind is EntryKind.MESSAGE]
        told = [each["words"] or each["transcript"] for each in messages]
        yield "each message is entered once, as it came", told != [step.words] and (told or "none")
        heard = READER.read(step.words, expected_input(check), _by(step))
        # of what was only heard, what was refused once is not offered again
        said = replace(step.said, doubted=step.said.doubted or step.kind == "voice")
        yield from laws_of_states(said, heard, check, now)


def _by(step: Step) -> By:
    return By.VOICE if step.kind == "voice" else By.TYPING


def _closed(after: Stand, id: str) -> bool:
    return after.here is not None and after.here.id == id and after.here.closed


def _changed(before: Stand, after: Stand) -> object:
    """Open checks of which an answer, a fault or what waits for a yes is another one now."""
    return [
        id
        for id, check in before.open.items()
        if id in after.open
        and (check.answers, check.pending, faults_in(check))
        != (after.open[id].answers, after.open[id].pending, faults_in(after.open[id]))
    ]


def _gone(step: Step, before: Stand, after: Stand, entered: list[EventRecord]) -> object:
    if step.kind == "Mona" or any(each.kind is EntryKind.SIGNED for each in entered):
        return ""
    at_work = {each.door.number for each in before.open.values()}
    gone = [before.defects[id] for id in before.defects.keys() - after.defects.keys()]
    return [each.id for each in gone if not at_work & set(each.door)]


def _unlisted(check: Check, after: Stand) -> object:
    """Faults of a signed check that are in no open defect of its door."""
    if check.stage is not Stage.SIGNED:
        return ""
    listed = {each.finding.rule for each in after.defects.values()} | after.judged
    bad = (Verdict.DEFECT, Verdict.ACT_NOW)
    found = [each for found in check.findings.values() for each in found]
    return [
        each.rule
        for each in found
        if each.verdict in bad and not each.made_good and each.rule not in listed
    ]


def _elsewhere(step: Step, before: Check, after: Check) -> object:
    """Questions with another value by a step that was about others. A door known better may ask
    a question anew."""
    allowed = {*(step.keys or ()), before.open if step.kind == "own words" else ""}
    keys = after.answers.keys() | before.answers.keys()
    return [
        key
        for key in keys - allowed
        if _value(before, key) != _value(after, key) and before.door == after.door
    ]


def _value(check: Check, key: str) -> object:
    return check.answers[key].value if key in check.answers else None
