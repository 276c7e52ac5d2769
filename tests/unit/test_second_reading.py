"""What the grammar does not read is read a second way; nothing of that passes unasked."""

from __future__ import annotations

from pathlib import Path

import pytest
from visits import CHECKLIST, CORRIDOR, NOON, UNDERSTANDING

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.second_reading import Understand, read_again
from doorround.channels.talk.talk import Talk
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.turn import start_check
from doorround.domain.input_result import By, Heard, OffGrammar, Said, Unsure
from doorround.domain.values import Condition, Defect, Value
from doorround.logbook.store import Logbook
from doorround.understanding.understanding_result import NOTHING, Offer, Understood

HOLE = Condition(defects=(Defect(name="stored"),))
SOUND = Condition()
EXPECTED = expected_input(start_check("c1", CORRIDOR, "Robin", CHECKLIST, NOON).check)
TYPED = OffGrammar(by=By.TYPING, words="mop and bucket")
SPOKEN = OffGrammar(transcript="mop and bucket", audio_sha256="ab" * 32)


def said(value: Value) -> tuple[Said, ...]:
    return (Said(question="clear", value=value, phrase="mop and bucket"),)


def finding(found: Understood) -> Understand:
    def understand(question: object, text: str, allowed: ExpectedInput) -> Understood:
        assert text == "mop and bucket"
        return found

    return understand


def test_a_fault_of_which_every_word_was_read_is_entered_where_it_was_typed() -> None:
    entered = finding(Understood("entered", said(HOLE)))
    heard = read_again(TYPED, entered, EXPECTED)
    assert isinstance(heard, Heard) and heard.said[0].verbatim == "mop and bucket"
    assert isinstance(read_again(SPOKEN, entered, EXPECTED), Unsure)


@pytest.mark.parametrize("kind", ["entered", "read_back"])
def test_a_pass_is_never_entered_however_sure_it_is(kind: str) -> None:
    found = Understood(kind, said(SOUND))  # type: ignore[arg-type]
    heard = read_again(TYPED, finding(found), EXPECTED)
    assert isinstance(heard, Unsure) and heard.guesses[0].said[0].value == SOUND
    # of a transcript nothing is sure: one stray "yes" would pass the part
    spoken = read_again(SPOKEN, finding(found), EXPECTED)
    assert isinstance(spoken, OffGrammar)
    assert [each.said[0].value for each in spoken.nearest] == [SOUND]


def test_what_the_recording_lacks_does_not_keep_its_words_from_being_read() -> None:
    quiet = SPOKEN.model_copy(update={"advice": "Too quiet. Hold the phone nearer."})
    heard = read_again(quiet, finding(Understood("entered", said(HOLE))), EXPECTED)
    assert isinstance(heard, Unsure) and heard.guesses[0].said[0].value == HOLE
    too_long = TYPED.model_copy(update={"advice": "That is too much at once."})
    assert read_again(too_long, finding(Understood("entered", said(HOLE))), EXPECTED) == too_long


def test_meanings_that_are_near_are_offered_and_nothing_stays_nothing() -> None:
    offers = (Offer(said(HOLE), "Doorway: things stored in it", 0.5), Offer(said(SOUND), "", 0.4))
    heard = read_again(TYPED, finding(Understood("offered", (), offers)), EXPECTED)
    assert isinstance(heard, OffGrammar)
    assert [each.said[0].value for each in heard.nearest] == [HOLE, SOUND]
    assert read_again(TYPED, finding(NOTHING), EXPECTED) == TYPED


def test_where_no_question_is_open_nothing_is_read_again() -> None:
    found = finding(Understood("entered", said(HOLE)))
    expected = ExpectedInput(EXPECTED.stage)
    assert read_again(TYPED, found, expected) == TYPED


def test_the_talk_asks_it_only_for_what_the_grammar_does_not_read(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Robin", NOON)

        def no_ear():  # type: ignore[no-untyped-def]
            raise AssertionError("nothing is spoken here")

        offers = (Offer(said(HOLE), "", 0.5),)
        talk = Talk(
            "chat",
            "Robin",
            logbook,
            UNDERSTANDING,
            no_ear,
            tmp_path / "recordings",
            understand=finding(Understood("offered", (), offers)),
        )
        talk.begin(CORRIDOR, CHECKLIST, NOON)
        say = talk.take(Incoming("1", "mop and bucket"), NOON).say
        assert say[-1].taps == ("Doorway: things stored against it", "a fault, in my words")
        talk.take(Incoming("2", say[-1].taps[0], tapped=True), NOON)
        assert talk.check is not None and talk.check.open == "sign.here"
        assert isinstance(talk.check.answers["clear"].value, Condition)
        talk.take(Incoming("3", "right and readable"), NOON)
        assert talk.check.open == "frame.here"
