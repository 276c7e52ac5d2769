"""What the caretaker hears of a pass that is not all that was said."""

from __future__ import annotations

from typing import cast

from covered_passes import PASS, SPEAKS, SURE, speech_of
from test_audio_decoding import written as file_of
from test_turn_recogniser import QUIET, hear
from visits import UNDERSTANDING, Visit, visit_at

from doorround.dialogue.expected_input import expected_input
from doorround.domain.input_result import MORE_WAS_SAID, HearingRecord, OffGrammar, Said, Unsure
from doorround.domain.input_result import Heard as WasHeard
from doorround.domain.values import Condition
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.accept_gate import doubt_of
from doorround.hearing.decision.pipeline import Piece, RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.recogniser import Guess, Outcome, Recognition
from doorround.hearing.session.turn_recogniser import recognise_turn

AT_ONCE = speech_of(*[0.9] * 20)
"""From the first sample on."""


class Refuses:
    """Hears a pass in everything, and more behind it."""

    def listen_pieces(self, sound: object, grammar: object, understood: object) -> None:
        refused = Recognition(
            outcome=Outcome.OFF_GRAMMAR,
            phrase=None,
            probability=0.0,
            guesses=(),
            engine="scripted",
            seconds=0.1,
            audio_seconds=1.0,
            covered=0.1,
            within="closes fully",
            why=MORE_WAS_SAID,
        )
        understood(Piece(0.0, 1.0, refused))  # type: ignore[operator]

    def record(self, _recognition: Recognition, grammar: str) -> HearingRecord:
        return HearingRecord(grammar=grammar)


def test_the_caretaker_is_told_that_there_was_more() -> None:
    visit = visit_at("closer.full")
    heard = recognise_turn(
        cast(RecognitionPipeline, Refuses()), UNDERSTANDING, QUIET, expected_input(visit.check)
    )
    assert isinstance(heard, OffGrammar)
    said = visit.take(heard)
    assert said[0].startswith(
        "I heard “closes fully” and more. Say the answer alone, or what is wrong."
    )
    assert "closer.full" not in visit.check.answers


def test_a_pass_among_several_answers_waits_for_a_yes_where_one_of_them_went_on() -> None:
    heard = hear(Visit().go_to("hinges.count"), "three", "…", "marked and tight")
    assert isinstance(heard, Unsure)


def test_the_read_back_says_that_there_was_more_and_asks_whether_that_is_all() -> None:
    visit = visit_at("closer.full")
    said = Said(
        question="closer.full",
        value=Condition(),
        phrase="closes fully",
        hearing=HearingRecord(why=MORE_WAS_SAID, covered=0.8),
    )
    lines = visit.take(
        Unsure(guesses=(WasHeard(said=(said,), words="closes fully", probability=0.8),))
    )
    assert lines[0].startswith("“closes fully”, and more that I didn't catch. ")
    assert lines[0].endswith("closes by itself, all the way, without slamming, and nothing else?")
    assert "closer.full" not in visit.check.answers


def test_a_recording_whose_end_is_missing_passes_nothing_without_a_yes() -> None:
    whole = file_of("ogg", "libopus", 48_000, "mono", seconds=2.0)
    last = whole.rfind(b"OggS")
    open_ended = whole[: last + 5] + bytes([whole[last + 5] & ~0x04]) + whole[last + 6 :]
    assert not load_sound(whole).torn
    # the page's own checksum no longer holds; readers that mind it lose the last page, which is
    # what happens on the way
    torn = load_sound(whole[:last])
    assert torn.torn and torn.cut(0.0, 1.0).torn
    assert load_sound(open_ended).torn
    scored = ScoredHypotheses((Guess("closes fully", 0.0),), SURE)
    assert (
        doubt_of(scored, PASS, speech_of(0.0, 0.1, *[0.9] * 20, torn=True))
        == "the recording breaks off"
    )


def test_speech_from_the_first_moment_on_passes_nothing_without_a_yes() -> None:
    scored = ScoredHypotheses((Guess("closes fully", 0.0),), SURE)
    assert doubt_of(scored, PASS, SPEAKS) is None
    assert doubt_of(scored, PASS, AT_ONCE) == "the beginning may be cut off"
    # a piece out of the middle of a recording has more before it, which is heard as well
    assert doubt_of(scored, PASS, speech_of(*[0.9] * 20, from_start=False)) is None
    assert (
        QUIET.from_start and QUIET.cut(0.0, 0.5).from_start and not QUIET.cut(0.1, 0.5).from_start
    )
    # of a bare yes nothing can be missing that would turn it round
    assert doubt_of(ScoredHypotheses((Guess("yes", 0.0),), SURE), PASS, AT_ONCE) is None
