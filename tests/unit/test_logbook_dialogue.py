"""Whatever is said in whatever order, the logbook says the same of a check as the check itself."""

from __future__ import annotations

from pathlib import Path

import small_visit as visit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from doorround.dialogue.turn import start_check, take_turn
from doorround.domain.check import Check
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said, Silence, Unsure
from doorround.domain.values import CannotCheck, Choice, Command, Count, Word, YesNo
from doorround.logbook.store import Logbook

ANSWERS = {
    "glass.kind": [visit.WIRED, Choice(chosen="none"), Choice(chosen="unknown")],
    "hinges.count": [Count(number=2), visit.THREE, CannotCheck(reason="locked")],
    "seals": [visit.SOUND, visit.PAINTED],
    "closer.shuts": [visit.YES, YesNo(yes=False)],
}
answers = some.sampled_from([(key, value) for key, values in ANSWERS.items() for value in values])
said = some.builds(
    lambda answer, correction, hedged: Said(
        question=answer[0], value=answer[1], phrase="so", correction=correction, hedged=hedged
    ),
    answers,
    some.booleans(),
    some.booleans(),
)
commands = some.builds(
    lambda word, about: Said(
        question=None, value=Command(word=word, about=about, text="draughty"), phrase=word.value
    ),
    some.sampled_from([word for word in Word if word is not Word.CANCEL]),
    # the grammar lets nobody say "change" without a part
    some.sampled_from(["hinges", "seals", "glass"]),
)
heard = some.builds(
    lambda things, by: Heard(said=tuple(things), words="so", probability=0.9, by=by),
    some.lists(said, min_size=1, max_size=3, unique_by=lambda one: one.question)
    | commands.map(lambda one: [one]),
    some.sampled_from(list(By)),
)
anything: some.SearchStrategy[AnyHeard] = (
    heard
    | heard.map(lambda one: Unsure(guesses=(one,)))
    | some.just(Silence())
    | some.just(OffGrammar(words="moo"))
)


@settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))
@given(talk=some.lists(anything, max_size=25))
def test_the_logbook_agrees_with_the_check_after_every_turn(
    tmp_path: Path, talk: list[AnyHeard]
) -> None:
    for old in tmp_path.glob("logbook.db*"):
        old.unlink()
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        logbook.begin(
            "chat", start_check("c1", visit.door(), "Ines", visit.checklist(), visit.at(0))
        )
        for minute, one in enumerate(talk, start=1):
            check = logbook.position("chat")
            assert check is not None
            turn = take_turn(check, one, visit.at(minute))
            logbook.keep("chat", f"m{minute}", turn, visit.at(minute))
            assert logbook.position("chat") == turn.check
            agrees(logbook, turn.check)
        assert logbook.verify() == []


def test_what_an_answer_is_taken_for_is_stored_under_the_name_it_always_had() -> None:
    """A talk that a logbook of an earlier version holds goes on, and an earlier version reads what
    is written now.
    """
    one = Said(question="seals", value=visit.SOUND, phrase="fine")
    stored = Unsure(guesses=(Heard(said=(one,), words="fine"),)).model_dump(mode="json")["guesses"][
        0
    ]["said"][0]
    assert stored["means"] == visit.SOUND.model_dump(mode="json") and "value" not in stored
    assert Said.model_validate(stored) == one


def agrees(logbook: Logbook, check: Check) -> None:
    assert {answer.question: answer for answer in logbook.answers("c1")} == check.answers
    found = sorted((one.answer, one.finding.rule) for one in logbook.findings("c1"))
    assert found == sorted(
        (check.answers[key].id, each.rule) for key in check.answers for each in check.findings[key]
    )
    assert logbook.door("14") == check.door
