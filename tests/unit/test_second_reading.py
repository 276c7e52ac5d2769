"""What the grammar does not read is read a second way; nothing of that passes unasked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from own_words_typed import typed_on
from visits import CHECKLIST, CORRIDOR, NOON, UNDERSTANDING, Visit

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.second_reading import Understand, read_again, read_beside
from doorround.channels.talk.talk import Talk
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.turn import start_check
from doorround.domain.check import Stage
from doorround.domain.input_result import By, Heard, HearingRecord, OffGrammar, Said, Unsure
from doorround.domain.values import Command, Condition, Defect, Value, Word
from doorround.logbook.store import Logbook
from doorround.understanding.understanding_result import NOTHING, Offer, Understood

HOLE = Condition(defects=(Defect(name="stored"),))
WEDGED = Condition(defects=(Defect(name="wedged"),))
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


def spoken(value: Value | Command, probability: float, written: str = "mop and bucket") -> Unsure:
    """A recording of which the grammar is not sure, with what was written of it freely."""
    question = None if isinstance(value, Command) else "clear"
    hearing = HearingRecord(right=probability, transcript=written)
    what = Said(question=question, value=value, phrase="mob", hearing=hearing)
    best = Heard(by=By.VOICE, said=(what,), words="mob", probability=probability)
    return Unsure(by=By.VOICE, guesses=(best,), audio_sha256="ab" * 32)


def values(heard: object) -> list[Value | Command]:
    assert isinstance(heard, OffGrammar)
    return [each.said[0].value for each in heard.nearest]


@pytest.mark.parametrize("kind", ["entered", "read_back"])
def test_an_unlikely_fault_is_offered_beside_what_was_written_freely(kind: str) -> None:
    found = finding(Understood(kind, said(HOLE)))  # type: ignore[arg-type]
    heard = read_beside(spoken(WEDGED, 0.3), found, EXPECTED)
    assert values(heard) == [WEDGED, HOLE]
    assert isinstance(heard, OffGrammar) and heard.transcript == "mop and bucket"
    sound = finding(Understood(kind, said(SOUND)))  # type: ignore[arg-type]
    assert values(read_beside(spoken(WEDGED, 0.3), sound, EXPECTED)) == [WEDGED, SOUND]


def test_what_passes_is_offered_last_and_once_beside_an_unlikely_fault() -> None:
    offers = tuple(Offer(said(value), "", 0.5) for value in (SOUND, HOLE, WEDGED))
    found = finding(Understood("offered", (), offers))
    assert values(read_beside(spoken(WEDGED, 0.3), found, EXPECTED)) == [WEDGED, HOLE, SOUND]


def test_an_unlikely_command_gives_way_to_what_was_written_freely() -> None:
    found = finding(Understood("entered", said(HOLE)))
    command = Command(word=Word.FINISH)
    assert values(read_beside(spoken(command, 0.2), found, EXPECTED)) == [HOLE]
    nothing = finding(NOTHING)
    assert isinstance(read_beside(spoken(command, 0.2), nothing, EXPECTED), Unsure)


@pytest.mark.parametrize(
    ("heard", "found"),
    [
        (spoken(WEDGED, 0.6), Understood("entered", said(HOLE))),
        (spoken(WEDGED, 0.3), Understood("entered", said(WEDGED))),
        (spoken(WEDGED, 0.3), NOTHING),
        (spoken(SOUND, 0.3), Understood("entered", said(HOLE))),
        (spoken(WEDGED, 0.3, ""), Understood("entered", said(HOLE))),
    ],
)
def test_what_is_likely_or_written_alike_is_read_back(heard: Unsure, found: Understood) -> None:
    assert read_beside(heard, finding(found), EXPECTED) == heard


def test_at_a_read_back_nothing_else_is_offered() -> None:
    found = finding(Understood("entered", said(HOLE)))
    confirming = replace(EXPECTED, stage=Stage.CONFIRMING)
    assert isinstance(read_beside(spoken(WEDGED, 0.3), found, confirming), Unsure)


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


# ---- Words at a read-back and at the summary, where no question is open that they may answer


def at_read_back() -> Visit:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    assert visit.check.stage is Stage.CONFIRMING
    return visit


def test_a_fault_of_a_named_part_is_kept_at_a_read_back_in_words_of_ones_own() -> None:
    visit = at_read_back()
    said = typed_on(visit, "the glass has had a knock and it's cracked right across")
    assert said[0].startswith("Noted as reported, not confirmed: Glass, this side: cracked.")
    assert said[-1] == "Tap or say yes or no: Frame, this side: damaged?"
    assert [each.question for each in visit.check.reported] == ["glass.here"]
    visit.type("yes")
    assert visit.meaning("frame.here") == "damaged" and visit.meaning("glass.here") is None


def test_what_is_told_twice_at_a_read_back_is_kept_once() -> None:
    visit = at_read_back()
    for _ in range(2):
        said = typed_on(visit, "the glass has had a knock and it's cracked right across")
        assert said[0].startswith("Noted as reported, not confirmed: Glass, this side: cracked.")
    assert [each.question for each in visit.check.reported] == ["glass.here"]


def test_a_fault_told_at_the_last_read_back_is_said_to_be_kept_and_read_back_next() -> None:
    visit = at_read_back()
    visit.type("finish check")
    said = typed_on(visit, "the glass has had a knock and it's cracked right across")
    assert said[0].startswith("Noted as reported, not confirmed: Glass, this side: cracked.")
    visit.type("yes")
    assert visit.said[-1].endswith("Glass, this side: cracked. Right?")


def test_what_is_kept_of_words_typed_at_a_read_back_is_said() -> None:
    visit = at_read_back()
    assert typed_on(visit, "something rattles") == [
        "“something rattles” doesn't answer this. I'll ask about it before you sign. Tap or say yes"
        " or no: Frame, this side: damaged?"
    ]
    said = typed_on(visit, "something rattles")
    assert "Frame, this side: I never got a yes or no. Tap to answer it now" in said[2]


def test_a_fault_in_words_of_ones_own_at_the_summary_is_read_back() -> None:
    visit = Visit(CORRIDOR).all_well()
    said = typed_on(visit, "the glass has had a knock and it's cracked right across")
    assert said == ["Glass, other side: cracked. Right?"]
    visit.type("yes")
    assert visit.meaning("glass.beyond") == "cracked" and not visit.check.unread_at_end


@pytest.mark.parametrize(
    "words", ["the glass is in good nick", "frame's alright mate", "no panels"]
)
@pytest.mark.parametrize("at_end", [True, False])
def test_a_pass_in_words_of_ones_own_is_not_entered_at_a_read_back_or_the_summary(
    words: str, at_end: bool
) -> None:
    visit = at_read_back()
    if at_end:
        visit.type("no", "finish check")
    before = visit.check.answers
    assert typed_on(visit, words)[0].startswith(f"“{words}” doesn't answer this.")
    assert visit.check.answers == before
    assert "leaf.here" not in [each.question for each in visit.check.reported]
