"""Notes: typed or recorded, taken as they are, and no answers."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, Heard, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed

# ---- Notes


def notes(visit: Visit) -> list[tuple[object, object]]:
    noted = [entry.body for entry in visit.entered if entry.kind is EntryKind.NOTED]
    return [(body["text"], body["audio_sha256"]) for body in noted]


def test_a_typed_note_is_entered_and_the_question_stays_open() -> None:
    visit = Visit(CORRIDOR)
    assert visit.type("note Smells of gas")[0] == "Noted: “Smells of gas”."
    assert visit.check.open == "clear" and notes(visit) == [("Smells of gas", None)]


def test_whatever_comes_after_note_is_the_note_and_no_answer() -> None:
    visit = Visit(CORRIDOR)
    visit.type("take a note", "all clear")
    assert visit.check.answers == {} and notes(visit) == [("all clear", None)]
    assert visit.check.stage is Stage.ASKING


@pytest.mark.parametrize("kind", ["off grammar", "unsure"])
def test_a_recorded_note_is_kept_with_its_recording(kind: str) -> None:
    visit = Visit(CORRIDOR)
    visit.type("note")
    guess = typed(UNDERSTANDING, "all clear", expected_input(Visit(CORRIDOR).check))
    assert isinstance(guess, Heard)
    heard = OffGrammar(audio_sha256="ab" * 32)
    visit.take(heard if kind == "off grammar" else Unsure(guesses=(guess,), audio_sha256="ab" * 32))
    assert notes(visit) == [(None if kind == "off grammar" else "all clear", "ab" * 32)]
    assert visit.check.answers == {}


def test_a_note_that_was_not_heard_is_asked_again_and_may_be_given_up() -> None:
    visit = Visit(CORRIDOR)
    visit.type("note")
    assert visit.take(Silence()) == ["I didn't hear anything. Say or type the note."]
    assert visit.take(BadAudio(advice="Too quiet.")) == ["Too quiet."]
    assert visit.take(OffGrammar(words="")) == ["I didn't hear anything. Say or type the note."]
    assert visit.type("cancel")[0] == "No note, then."
    assert notes(visit) == [] and visit.check.open == "clear"


@pytest.mark.parametrize("missed", [OffGrammar, Silence])
def test_what_was_wrong_with_the_recording_is_said_in_place_of_not_understood(missed) -> None:
    visit = Visit(CORRIDOR)
    asked = visit.check.open
    said = " ".join(visit.take(missed(advice="Too quiet. Hold the phone nearer.")))
    assert "Too quiet. Hold the phone nearer." in said
    assert "not understand" not in said and "didn't hear anything" not in said
    assert visit.check.open == asked and visit.check.answers == {}
