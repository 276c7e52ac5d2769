"""What holds in every talk: drawn at random, turn by turn."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import given, settings
from hypothesis import strategies as some
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    HELD_OPEN,
    NOON,
    PASSES,
    UNDERSTANDING,
    UNKNOWN,
    Visit,
)

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import AnyHeard, BadAudio, Heard, OffGrammar, Silence, Unsure
from doorround.domain.judging.judge import verdict
from doorround.hearing.session.interpretation import typed
from tests.whole import so_many

DOORS = (CORRIDOR, HELD_OPEN, CUPBOARD, UNKNOWN)
SAYINGS = (
    "fine",
    "damaged",
    "all clear",
    "wedged",
    "missing",
    "painted over",
    "three",
    "two",
    "3.5",
    "an eighth",
    "not measured",
    "yes",
    "no",
    "okay",
    "cannot check",
    "does not apply",
    "not known",
    "probably fine",
    "I think damaged",
    "no, fine",
    "no, two",
    "fine both sides",
    "other side damaged",
    "hinges three marked and tight",
    "closer fine",
    "closer slams",
    "frame fine",
    "seals fine, three hinges marked and tight",
    "fien",
    "finsh check",
    "repeat",
    "go back",
    "go back",
    "skip",
    "skip",
    "help",
    "what can I say",
    "undo",
    "pause",
    "carry on",
    "carry on",
    "finish check",
    "finish check",
    "cancel",
    "note",
    "note smells",
    "change hinges",
    "change seals",
    "change closer",
    "everything is fine",
    "thirty with smoke",
    "overhead",
    "kept locked",
    "corridor",
    "926",
    "5",
    "nine",
    "whole",
    "purple",
    "",
)
# Most answers are passes: only so do the talks come to their end.
LINES = some.one_of(some.sampled_from(SAYINGS), some.just("PASS"), some.just("PASS"))
UNHEARD: tuple[AnyHeard, ...] = (
    Silence(),
    OffGrammar(),
    OffGrammar(words="lunch"),
    BadAudio(advice="Too quiet: hold the phone nearer."),
)


def line_for(check: Check, line: str) -> str:
    if line != "PASS":
        return line
    return PASSES.get(check.open or "", "finish check")


def heard_at(check: Check, line: str) -> AnyHeard:
    return typed(UNDERSTANDING, line_for(check, line), expected_input(check))


def doubt(check: Check, line: str) -> Unsure | None:
    """The same words, but not sure of."""
    heard = heard_at(check, line)
    if isinstance(heard, Unsure):
        return heard
    return Unsure(guesses=(heard,)) if isinstance(heard, Heard) else None


def talk(fire_door: int, lines: list[str]) -> Visit:
    visit = Visit(DOORS[fire_door])
    for line in lines:
        visit.take(heard_at(visit.check, line))
    return visit


TALKS = some.builds(talk, some.integers(0, 3), some.lists(LINES, max_size=45))


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS, some.sampled_from(UNHEARD))
def test_silence_noise_and_nonsense_never_change_an_answer(visit: Visit, heard: AnyHeard) -> None:
    after = take_turn(visit.check, heard, NOON).check
    assert after.answers == visit.check.answers
    assert after.findings == visit.check.findings
    assert after.door == visit.check.door
    assert after.stage is not Stage.SIGNED or visit.check.stage is Stage.SIGNED


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS, LINES)
def test_a_doubt_never_changes_an_answer_nor_signs_nor_cancels(visit: Visit, line: str) -> None:
    unsure = doubt(visit.check, line)
    if unsure is None:
        return
    after = take_turn(visit.check, unsure, NOON).check
    assert after.answers == visit.check.answers and after.door == visit.check.door
    assert after.stage not in (Stage.SIGNED, Stage.CANCELLED) or after.stage is visit.check.stage


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS, LINES)
def test_a_turn_reads_only_its_arguments_and_changes_none(visit: Visit, line: str) -> None:
    before = visit.check.model_dump(mode="json")
    heard = heard_at(visit.check, line)
    first = take_turn(visit.check, heard, NOON)
    second = take_turn(visit.check, heard, NOON)
    assert first == second
    assert visit.check.model_dump(mode="json") == before
    later = take_turn(visit.check, heard, datetime(2031, 1, 1, tzinfo=UTC))
    assert later.say == first.say
    assert {entry.at for entry in later.enter} <= {datetime(2031, 1, 1, tzinfo=UTC)}


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS)
def test_a_check_survives_being_stored_at_any_point(visit: Visit) -> None:
    again = Check.model_validate({**visit.check.model_dump(mode="json"), "checklist": CHECKLIST})
    # as the logbook reads it: by the door's faces as they are known by now
    again = again.model_copy(update={"checklist": CHECKLIST.facing(again.door)})
    assert again == visit.check


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS)
def test_the_talk_never_falls_silent_nor_loses_its_place(visit: Visit) -> None:
    check = visit.check
    assert visit.turn.say, check.stage
    if check.stage is Stage.ASKING:
        assert check.open is not None
    if check.stage is Stage.CONFIRMING:
        assert check.pending is not None
    else:
        assert check.pending is None
    assert set(check.findings) == set(check.answers) == set(check.trail)
    assert all(check.checklist.ask(key) for key in check.answers)


def passed(check: Check, key: str) -> bool:
    answer = check.answers.get(key)
    return answer is not None and verdict(answer.value, check.findings[key]) is Verdict.SOUND


@settings(max_examples=so_many(100, 300), deadline=None)
@given(TALKS, some.lists(LINES, max_size=5))
def test_a_door_is_signed_sound_only_when_each_question_of_it_was_passed(
    visit: Visit, more: list[str]
) -> None:
    for _ in range(40):
        if visit.check.stage is not Stage.ASKING:
            break
        visit.take(heard_at(visit.check, "PASS"))
    for line in [*more, "finish check", "yes", "finish check"]:
        visit.take(heard_at(visit.check, line))
    check = visit.check
    if check.stage is Stage.SIGNED and check.verdict is Verdict.SOUND:
        asked = [question.key for question in check.questions if question.component != "register"]
        assert asked and all(passed(check, key) for key in asked)
    if check.stage is not Stage.SIGNED:
        assert check.verdict is None


def test_the_drawn_talks_do_reach_a_sound_signature() -> None:
    """Else the law above would hold of nothing."""
    for fire_door in range(4):
        visit = talk(fire_door, ["PASS"] * 40)
        assert (visit.check.stage, visit.check.verdict) == (Stage.SIGNED, Verdict.SOUND)


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS)
def test_the_entries_tell_the_same_as_the_check(visit: Visit) -> None:
    answers: dict[str, str] = {}
    faults: dict[str, list[str]] = {}
    for entry in visit.entered:
        if entry.kind is EntryKind.ANSWERED:
            answers[entry.body["question"]] = entry.body["id"]
            faults[entry.body["id"]] = []
        elif entry.kind is EntryKind.FOUND:
            faults[entry.body["answer"]].append(entry.body["what"])
        elif entry.kind is EntryKind.WITHDRAWN:
            answers = {
                key: answer for key, answer in answers.items() if answer != entry.body["answer"]
            }
    check = visit.check
    assert answers == {key: answer.id for key, answer in check.answers.items()}
    for key, answer in answers.items():
        assert faults[answer] == [finding.what for finding in check.findings[key]]


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS)
def test_each_answer_is_entered_under_an_id_of_its_own(visit: Visit) -> None:
    ids = [entry.body["id"] for entry in visit.entered if entry.kind is EntryKind.ANSWERED]
    assert len(ids) == len(set(ids))


@settings(max_examples=so_many(50, 150), deadline=None)
@given(TALKS)
def test_every_fault_entered_is_said_in_its_turn(visit: Visit) -> None:
    found = [
        entry.body["what"]
        for entry in visit.turn.enter
        if entry.kind is EntryKind.FOUND and entry.body["verdict"] in ("defect", "act now")
    ]
    told = " ".join(visit.said)
    assert [what for what in found if what not in told] == []
