"""Drawn talks: no fault that was read back vanishes, whatever is said after it."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from reported_faults import signed, step
from test_dialogue_laws import DOORS, PASSES, line_for
from visits import Visit

from doorround.dialogue.unconfirmed_faults import includes, is_fault
from doorround.domain.check import Check, Report, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.judging.door_verdict import Result
from doorround.domain.unnamed_faults import to_be_judged

# ---- The law, over talks drawn at random

FAULTS = (
    "split",
    "loose",
    "damaged",
    "wedged open",
    "hole",
    "no sign",
    "two",
    "8",
    "part missing",
    "leaf split",
    "hinges loose",
    "other side frame damaged",
    "screw missing",
    "slams",
    "wedge removed",
    "kept locked",
)
TALK = (
    "yes",
    "yes",
    "no",
    "no, fine",
    "fine",
    "okay",
    "PASS",
    "PASS",
    "PASS",
    "skip",
    "finish check",
    "pause",
    "carry on",
    "undo",
    "go back",
    "change hinges",
    "change frame",
    "change leaf",
    "cancel",
    "note smells",
    "no, loose",
    "three",
    "cannot check",
    "everything is fine",
    "help",
    "repeat",
    "both sides fine",
)
STEP = some.one_of(
    some.tuples(some.just("fault"), some.sampled_from(FAULTS)),
    some.tuples(some.just("say"), some.sampled_from(TALK)),
    some.tuples(some.just("say"), some.just("PASS")),
    some.tuples(some.just("reply"), some.sampled_from(tuple(PASSES))),
    some.tuples(some.just("noise"), some.sampled_from(("0", "1", "2"))),
)


def waiting(check: Check) -> list[Report]:
    """Faults that are read back now, apart from those of the answer they come on top of."""
    if check.pending is None:
        return []
    faults = [said for said in check.pending.said if is_fault(check, said)]
    return [Report(heard=check.pending.model_copy(update={"said": (said,)})) for said in faults]


def known(check: Check, fault: Report) -> bool:
    """Whether a fault is in the answer in force, is read back, or is kept as reported: between
    them, all of it. Own words may be told on together with more of them.
    """
    told = [
        report for report in (*check.reported, *waiting(check)) if report.question == fault.question
    ]
    answer = check.answers.get(fault.question)
    defects = [each for report in told for each in getattr(report.said.value, "defects", ())]
    if answer is not None and includes(answer.value, fault):
        return True
    if any(includes(report.said.value, fault) for report in told):  # type: ignore[arg-type]
        return True
    if to_be_judged(fault.said.value):
        waits = [*(each.heard.words for each in told), *(each.words for each in check.unread)]
        return any(fault.heard.words in each for each in waits)
    of_it = getattr(fault.said.value, "defects", ())
    among = [*defects, *getattr(answer.value if answer else None, "defects", ())]
    return bool(of_it) and all(each in among for each in of_it)


def denied(before: Check, how: str, words: str, fault: Report) -> bool:
    """Whether these words deny a fault: "no", "no, …"; a yes to "sound, not …"; another value of
    what has one; or the answer that had it was taken back.
    """
    asked = before.pending is not None and fault.question in [
        said.question for said in before.pending.said
    ]
    if how != "say":
        return False
    if words.startswith("no"):
        return before.stage is Stage.CONFIRMING and asked
    if words == "yes":
        return asked and not known(before.model_copy(update={"reported": (), "answers": {}}), fault)
    return asked and fault.said.value.kind in ("count", "measure", "yes_no", "choice")


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(some.integers(0, 3), some.lists(STEP, max_size=60))
def test_no_fault_that_was_read_back_vanishes(fire_door: int, steps: list[tuple[str, str]]) -> None:
    visit = Visit(DOORS[fire_door])
    for how, words in steps:
        before = visit.check
        if before.closed:
            break
        step(visit, how, words)
        after = visit.check
        for fault in (*waiting(before), *before.reported):
            assert known(after, fault) or denied(before, how, line_for(before, words), fault), (
                how,
                words,
                fault.said,
            )
        entered = [entry for entry in visit.entered if entry.kind is EntryKind.REPORTED]
        assert all(
            any(entry.body["question"] == each.question for entry in entered)
            for each in after.reported
            if after.pending is None
        )
    check = visit.check
    if check.stage is Stage.SIGNED and check.reported:
        assert check.verdict is not Verdict.SOUND
        result = signed(visit)["judgement"]["result"]  # type: ignore[index]
        assert result in (Result.NOT_SHOWN, Result.OUT_OF_ACTION)
        assert "not confirmed" in str(signed(visit)["not_checked"])


def test_the_drawn_talks_do_sign_with_a_report_standing_open() -> None:
    """Else the law above would hold of nothing."""
    visit = Visit(DOORS[0])
    step(visit, "fault", "wedged open")
    step(visit, "say", "skip")
    for _ in range(60):
        step(visit, "say", "skip" if visit.check.open == "clear" else "PASS")
    assert visit.check.stage is Stage.SIGNED and len(visit.check.reported) == 1
    assert signed(visit)["judgement"]["result"] == Result.NOT_SHOWN  # type: ignore[index]
