"""Several answers in one recording: the part spoken of is carried on, each answer keeps its moment,
doubt stays.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

import numpy as np
import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit, in_short

from doorround.dialogue.expected_input import expected_input
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import AnyHeard, Heard, HearingRecord, OffGrammar, Unsure
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.excerpt import AROUND, excerpt
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.hearing.decision.pipeline import Piece, RecognitionPipeline
from doorround.hearing.engines.recogniser import Guess, Outcome, Recognition
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.session.turn_recogniser import recognise_turn

QUIET = sound_of(np.zeros(RATE, np.float32))
LOST = "…"


class Scripted:
    """Hears these phrases, two seconds each; LOST is not understood."""

    def __init__(self, *phrases: str) -> None:
        self.phrases = phrases

    def listen_pieces(
        self,
        _sound: object,
        grammar_for: Callable[[str | None], ActiveGrammar],
        understood: Callable[[Piece], str | None],
    ) -> None:
        grammar_for(None)
        for place, phrase in enumerate(self.phrases):
            outcome = Outcome.OFF_GRAMMAR if phrase == LOST else Outcome.HEARD
            words, guesses = (None, ()) if phrase == LOST else (phrase, (Guess(phrase, 0.98),))
            recognition = Recognition(
                outcome=outcome,
                phrase=words,
                probability=0.98 if words else 0.0,
                guesses=guesses,
                engine="scripted",
                seconds=0.1,
                audio_seconds=1.0,
                transcript="" if words else "a boot went through it",
            )
            if goes_on := understood(Piece(2.0 * place, 2.0 * place + 1.5, recognition)):
                grammar_for(goes_on)

    def record(self, recognition: Recognition, grammar: str) -> HearingRecord:
        return HearingRecord(grammar=grammar, right=recognition.probability)


def hear(visit: Visit, *phrases: str) -> AnyHeard:
    return recognise_turn(
        cast(RecognitionPipeline, Scripted(*phrases)),
        UNDERSTANDING,
        QUIET,
        expected_input(visit.check),
    )


def answers(heard: AnyHeard) -> list[tuple[str | None, str]]:
    assert isinstance(heard, Heard)
    return [(said.question, in_short(said.value)) for said in heard.said]


def test_what_was_not_understood_keeps_what_was_written_of_it() -> None:
    for lost in ((LOST,), (LOST, LOST)):
        heard = hear(Visit(), *lost)
        assert isinstance(heard, OffGrammar)
        assert heard.transcript == ", ".join(["a boot went through it"] * len(lost))


def test_the_part_spoken_of_is_carried_over_pauses() -> None:
    heard = hear(Visit(), "hinges", "three", "all tight", "closer", "shuts fully")
    assert answers(heard) == [
        ("hinges.count", "3"),
        ("hinges.fixings", "sound"),
        ("closer.full", "sound"),
    ]


def test_a_part_and_its_face_are_carried() -> None:
    heard = hear(Visit(), "frame", "undamaged", "other side frame", "split at the head")
    assert answers(heard) == [("frame.here", "sound"), ("frame.beyond", "split, head")]


def test_a_gap_and_a_closing_test_are_told_apart() -> None:
    heard = hear(
        Visit(),
        "head gap three",
        "bottom gap six",
        "closer from ninety degrees",
        "closes fully",
        "closer from fifteen degrees",
        "stops short",
    )
    assert answers(heard) == [
        ("gaps.sides", "3 mm"),
        ("gaps.threshold", "6 mm"),
        ("closer.full", "sound"),
        ("closer.ajar", "stops_short"),
    ]


def test_a_part_named_and_no_more_answers_nothing() -> None:
    assert isinstance(hear(Visit(), "hinges"), OffGrammar)
    assert isinstance(hear(Visit(), "hinges", "closer"), OffGrammar)


@pytest.mark.parametrize("place", range(3))
def test_a_pass_of_a_carried_part_beside_a_lost_piece_waits_for_a_yes(place: int) -> None:
    phrases = ["hinges", "all tight"]
    phrases.insert(place, LOST)
    visit = Visit()
    heard = hear(visit, *phrases)
    assert isinstance(heard, Unsure)
    said = visit.take(heard)
    quoted = f"I didn't catch what you said at 0:0{2 * place}."
    assert said[:2] == ["Too quiet. Hold the phone nearer.", quoted], (
        "the stand-in's recording holds nothing"
    )
    assert visit.meaning("hinges.fixings") is None
    visit.type("yes")
    assert visit.meaning("hinges.fixings") == "sound"


def test_a_fault_beside_a_lost_piece_is_entered_and_the_lost_one_quoted() -> None:
    visit = Visit()
    said = visit.take(hear(visit, "hinges", "two screws missing", LOST))
    assert "I didn't catch what you said at 0:04." in said
    assert visit.meaning("hinges.fixings") == "2 screw_missing"


def test_each_answer_keeps_its_moment_in_the_logbook() -> None:
    visit = Visit()
    visit.take(hear(visit, "all clear", "hinges three", "marked and tight"))
    kept = {
        e.body["question"]: e.body["spoken"] for e in visit.entered if e.kind is EntryKind.ANSWERED
    }
    assert kept == {"clear": [0.0, 1.5], "hinges.count": [2.0, 3.5], "hinges.fixings": [4.0, 5.5]}


def test_typed_answers_have_no_moment() -> None:
    visit = Visit()
    visit.type("all clear")
    assert [e.body["spoken"] for e in visit.entered if e.kind is EntryKind.ANSWERED] == [None]


WHOLE_DOOR = (
    "all clear",
    "sign",
    "right and readable",
    "frame undamaged and firm",
    "leaf undamaged",
    "glass",
    "whole and firm",
    "head gap three",
    "bottom gap six",
    "latch works",
    "seals",
    "all there undamaged never painted",
    "three hinges",
    "marked and tight",
    "other side frame",
    "undamaged and firm",
    "other side leaf",
    "undamaged",
    "other side glass",
    "whole and firm",
    "other side sign",
    "right and readable",
    "closer from ninety degrees",
    "closes fully",
    "closer from fifteen degrees",
    "closes fully",
)


def test_every_question_of_a_door_can_be_answered_in_one_recording() -> None:
    visit = Visit(CORRIDOR)
    visit.take(hear(visit, *WHOLE_DOOR))
    assert visit.check.unanswered == ()


@pytest.mark.parametrize("lost", range(len(WHOLE_DOOR)))
def test_no_lost_piece_of_a_whole_door_leaves_a_pass_unasked(lost: int) -> None:
    phrases: list[Any] = list(WHOLE_DOOR)
    phrases[lost] = LOST
    visit = Visit(CORRIDOR)
    visit.take(hear(visit, *phrases))
    assert visit.check.answers == {}


def test_the_stretch_of_an_answer_can_be_played_back() -> None:
    seconds = np.arange(4 * RATE) / RATE
    tone = np.where(
        (seconds >= 1.5) & (seconds < 2.5), 0.3 * np.sin(2 * np.pi * 440 * seconds), 0
    ).astype(np.float32)
    played = load_sound(excerpt(sound_of(tone), 1.5, 2.5))
    assert played.seconds == pytest.approx(1.0 + 2 * AROUND, abs=0.05)
    middle = played.cut(AROUND + 0.1, AROUND + 0.9)
    assert middle.level_dbfs > -20
    assert played.cut(0.0, AROUND - 0.1).level_dbfs < -40


@pytest.mark.parametrize(("start", "end"), [(5.0, 6.0), (2.0, 2.0)])
def test_a_stretch_outside_the_recording_is_refused(start: float, end: float) -> None:
    with pytest.raises(ValueError, match="There is nothing from"):
        excerpt(sound_of(np.zeros(4 * RATE, np.float32)), start, end)
