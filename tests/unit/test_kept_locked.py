"""Doors that are kept locked in place of a closer: only where nobody leaves through them.

GOV.UK, fire door guidance: cupboard and riser doors that are not self-closing (secondary). Approved
Document B, C5: cupboards and service ducts (secondary). Regulatory Reform (Fire Safety) Order 2005,
article 14 (2) (f) (secondary).
"""

from __future__ import annotations

import pytest
from visits import CHECKLIST, LOCKED_STAIR, PASSES, UNKNOWN, Visit, ask, door

from doorround.domain.checklist import Question
from doorround.domain.door import Door, Use
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.judge import judge
from doorround.domain.values import Choice, Condition, YesNo

KEPT_LOCKED = "none, kept locked"
MAY = ("cupboard", "riser", "plant room")
WAYS_OUT = ("corridor in constant use", "stair", "lobby", "flat entrance", "final exit")


def locked(use: str | None) -> Door:
    return door(use=use, closer=KEPT_LOCKED)


def rules_of(use: str | None, key: str, value: YesNo | Choice) -> list[tuple[str, str]]:
    findings = judge(locked(use), ask(key), value, CHECKLIST)
    return [(each.rule, str(each.severity)) for each in findings]


@pytest.mark.parametrize("use", WAYS_OUT)
def test_a_way_out_that_is_kept_locked_is_out_of_action_and_nobody_is_told_to_lock_it(
    use: str,
) -> None:
    for key, was_locked in (("lock", True), ("lock.way_out", False)):
        assert rules_of(use, key, YesNo(yes=was_locked)) == [("lock.way_out", "act now")]
        assert rules_of(use, key, YesNo(yes=not was_locked)) == [("lock.register", "soon")]
    assert rules_of(use, "register.closer", Choice(chosen=KEPT_LOCKED)) == [
        ("lock.way_out", "act now")
    ]
    for value in (YesNo(yes=True), YesNo(yes=False)):
        for finding in judge(locked(use), ask("lock.way_out"), value, CHECKLIST):
            assert "Lock it" not in finding.do_now


@pytest.mark.parametrize("use", [use for use in Use if use not in MAY] + [None])
def test_only_cupboards_risers_and_plant_rooms_are_excused_from_the_closing_tests(
    use: str | None,
) -> None:
    asked = [question.key for question in CHECKLIST.for_door(locked(use))]
    assert {"closer.full", "closer.ajar", "lock.way_out"} <= set(asked) and "lock" not in asked
    for key in ("lock", "lock.way_out"):
        for yes in (True, False):
            rules = [rule for rule, _ in rules_of(use, key, YesNo(yes=yes))]
            assert rules and "lock.unlocked" not in rules


@pytest.mark.parametrize("use", MAY)
def test_what_may_be_kept_locked_is_asked_for_its_lock_alone(use: str) -> None:
    asked = [question.key for question in CHECKLIST.for_door(locked(use))]
    assert "lock" in asked and {
        "closer.full",
        "closer.ajar",
        "lock.way_out",
        "hold_open",
    }.isdisjoint(asked)
    assert rules_of(use, "lock", YesNo(yes=True)) == []
    assert rules_of(use, "lock", YesNo(yes=False)) == [("lock.unlocked", "act now")]


def test_a_stair_kept_locked_is_told_at_once_and_never_fit_whatever_else_is_well() -> None:
    visit = Visit(door(use="stair", closer=None)).go_to("register.closer")
    said = visit.type("kept locked")
    assert said[:2] == [
        "Closer: kept locked, though people leave through it.",
        (
            "ACT NOW. Unlock it now if you can, leave it so, and tell the supervisor at once. A"
            " competent person changes the lock. "
            "A way out is never to be locked against those who leave."
        ),
    ]
    visit.go_to("closer.full")
    assert visit.type("closes fully") == [
        "Closer from fully open: sound.",
        "Closer from fully open: that doesn't fit the register, which says closer “none, kept"
        " locked”. What you see counts.",
        "Closer: you said none, as the door is kept locked.",
        "Which closer does it have?",
    ]
    visit.type("kept locked")
    visit.all_well()
    assert visit.meaning("closer.full") == "sound" and visit.meaning("lock.way_out") == "yes"
    assert "Door 12: out of action" in visit.said[-1]


def test_the_talk_at_a_locked_stair_never_says_to_lock_it() -> None:
    for answer in ("it was locked", "it was open"):
        visit = Visit(LOCKED_STAIR).go_to("lock.way_out")
        said = visit.type(answer)
        while visit.check.open is not None:
            said += visit.type(PASSES[visit.check.open])
        assert not [line for line in said if "Lock it" in line or "keep locked" in line]
        assert "closer.full" in visit.check.answers


def test_a_final_exit_can_be_said() -> None:
    for words in ("final exit", "fire exit door", "emergency exit"):
        visit = Visit(door(use=None)).go_to("register.use")
        visit.type(words)
        assert visit.check.door.use is Use.FINAL_EXIT


def test_a_closer_that_is_not_known_does_not_make_a_corridor_one_to_be_locked() -> None:
    visit = Visit(door(closer=None)).go_to("register.closer")
    visit.type("not known")
    assert "lock" not in [question.key for question in visit.check.questions]
    visit.go_to("lock.way_out").type("it was open")
    assert visit.check.findings["lock.way_out"] == ()


# ---- Filled in at the door


@pytest.mark.parametrize("use", MAY)
def test_a_door_kept_locked_whose_register_is_filled_in_at_the_door_can_be_fit(use: str) -> None:
    words = {"register.use": use, "register.closer": "kept locked", "register.rating": "thirty"}
    visit = Visit(UNKNOWN)
    while visit.check.open is not None:
        visit.type(words.get(visit.check.open) or PASSES[visit.check.open])
    assert visit.said[-1].startswith("Door 231: fit, as far as eyes and hands can tell.")
    assert {"hold_open", "sign.beyond", "closer.full"}.isdisjoint(visit.check.answers)


_FACTS = tuple(each for each in CHECKLIST.question if each.fills and each.kind == "choice")
_SAID = {
    "use": [str(each) for each in Use],
    "closer": ["overhead", KEPT_LOCKED, "none"],
    "hold_open": ["none", "acoustic"],
    "glazing": ["none", "wired"],
    "leaves": ["one", "pair"],
    "latch": ["none", "lock"],
    "threshold_seal": ["none", "fitted"],
    "rating": ["FD30"],
    "operation": ["hinged", "sliding"],
    "screens": ["none", "beside"],
}


def _doors_filled_in() -> list[Door]:
    """Every door that the questions before the first part can describe, as far as they are
    asked.
    """
    doors = [Door(number="1")]
    for question in _FACTS:
        known = _SAID.get(question.fills or "", [None])
        doors = [
            Door.model_validate({**each.model_dump(), question.fills: value})
            for each in doors
            for value in (known if CHECKLIST.asks(question, each) else [None])
        ]
    return list(dict.fromkeys(doors))


def _unknown(question: Question, fire_door: Door) -> list[str]:
    return [name for name in question.when if getattr(fire_door, name) is None]


def test_every_fact_that_a_question_needs_is_asked_or_follows_before_it() -> None:
    doors = _doors_filled_in()
    assert len(doors) > 500
    for fire_door in doors:
        for question in CHECKLIST.for_door(fire_door):
            if question.component != "register":
                assert _unknown(question, fire_door) == [], (question.key, fire_door)


def test_a_file_with_a_locked_stair_is_judged_as_the_talk_judges_it() -> None:
    answers = {"lock": YesNo(yes=True), "closer.full": Condition(), "closer.ajar": Condition()}
    judged = judge_door(LOCKED_STAIR, answers, CHECKLIST)
    assert judged.result is Result.OUT_OF_ACTION
    assert (
        judged.sentence
        == "Out of action as a fire door: Lock: was locked, though people leave through it."
    )


SAYS_LOCKED = (
    "it's locked",
    "the door is locked",
    "door was locked",
    "it's chained shut",
    "people can't get out without a key",
)


@pytest.mark.parametrize("use", [*WAYS_OUT, "office", None])
@pytest.mark.parametrize("words", SAYS_LOCKED)
@pytest.mark.parametrize("key", ["clear", "leaf.here", "closer.full"])
def test_any_other_door_found_locked_is_told_so_at_any_question_and_is_out_of_action(
    use: str | None, words: str, key: str
) -> None:
    visit = Visit(door(use=use)).go_to("clear" if use else "register.use")
    visit.go_to(key)
    assert visit.type(words) == ["Doorway: locked, so people need a key to leave. Right?"]
    said = visit.type("yes")
    assert any("Unlock it now if you can" in line for line in said)
    visit.all_well()
    assert "Door 12: out of action" in visit.said[-1]
    assert "locked, so people need a key to leave" in " ".join(visit.said)


def test_locked_alone_answers_where_the_doorway_is_asked_about_and_is_no_pass_when_denied() -> None:
    for words in ("locked", "locked shut", "you need a key", "it won't open without a key"):
        assert Visit(door(use="stair")).go_to("clear").type(words)[0].startswith("Doorway: locked")
    visit = Visit(door(use="stair")).go_to("clear")
    assert visit.type("not locked") == ["Doorway: not locked, and nothing else wrong. Right?"]
    visit = Visit(door(use="stair")).go_to("clear")
    visit.type("it's locked", "yes")
    assert visit.type("I unlocked it")[0].startswith(
        "Doorway: locked, so people need a key to leave, made good"
    )


@pytest.mark.parametrize("use", MAY)
@pytest.mark.parametrize("closer", [KEPT_LOCKED, "overhead"])
def test_what_may_be_locked_is_no_fault_for_it_and_nobody_is_told_to_unlock_it(
    use: str, closer: str
) -> None:
    for words in (*SAYS_LOCKED, "locked", "not locked", "I unlocked it"):
        visit = Visit(door(use=use, closer=closer)).go_to("clear")
        said = visit.type(words)
        assert (
            said[0].startswith("A cupboard, riser or plant room may be kept locked")
            and visit.check.open == "clear"
        )
        assert (
            visit.check.pending is None
            and not visit.check.answers.keys() & {"clear"}
            and not visit.check.reported
        )
    visit = Visit(door(use=use, closer=closer)).go_to("clear")
    visit.type("wedged open, door is locked")
    if visit.check.pending:
        visit.type("yes")
    assert (
        visit.check.findings["clear"][0].rule == "clear.wedged"
        and len(visit.check.findings["clear"]) == 1
    )
