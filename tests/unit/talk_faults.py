"""The faults that a check of the ledger holds: component and name."""

from __future__ import annotations

from collections.abc import Iterator

from doorround.domain.check import Check
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Condition, Value
from doorround.messages import buttons
from tests.unit.talk_lines import Line


def faults_in(check: Check) -> set[tuple[str, str]]:
    """Component and name of each fault that is entered, waits for a yes, or is reported."""
    found = {
        pair
        for key, answer in check.answers.items()
        for pair in named_faults(check, key, answer.value)
    }
    for said in (*(check.pending.said if check.pending else ()), *(r.said for r in check.reported)):
        found |= set(said_faults(check, said))
    return found


def said_faults(check: Check, said: Said) -> Iterator[tuple[str, str]]:
    """Those of one answer as said."""
    if said.question and not isinstance(said.value, Command):
        yield from named_faults(check, said.question, said.value)


def named_faults(check: Check, key: str, value: Value) -> Iterator[tuple[str, str]]:
    """Those of a value at a question."""
    if isinstance(value, Condition):
        component = check.checklist.ask(key).component
        yield from ((component, each.name) for each in value.defects)


def explained(line: Line, before: Check, after: Check) -> set[tuple[str, str]]:
    """Faults that a choice of what the words mean, told again, puts in the place of another: own
    words by the number of a meaning that was offered, what is read back by "in my words".
    """
    if line.kind == "number":
        here = [each.words for each in before.unread if each.question == before.open]
        reports = [each for each in before.reported if each.heard.words in here]
        return {pair for each in reports for pair in said_faults(before, each.said)}
    if line.words != buttons.OWN_WORDS or before.pending is None:
        return set()
    kept = {each.heard for each in after.answers.values()}
    waiting = before.pending.said if before.pending.words in kept else ()
    return {pair for each in waiting for pair in said_faults(before, each)}
