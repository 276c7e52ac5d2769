"""What was lost in a recording: told with its time, offered and played."""

from __future__ import annotations

from visits import CORRIDOR, NOON, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Check, Clip, Stage
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Unsure
from doorround.hearing.session.interpretation import typed

RECORDING = "ab" * 32


def test_what_was_lost_in_a_recording_is_told_with_its_time() -> None:
    visit = Visit(CORRIDOR)
    heard = typed(UNDERSTANDING, "wedged open", expected_input(visit.check))
    assert isinstance(heard, Heard)
    said = visit.take(heard.model_copy(update={"unheard": ("0:04", "0:09")}))
    assert "I didn't catch what you said at 0:04 and 0:09." in said


def heard_with_a_gap(visit: Visit, words: str, doubtful: bool) -> AnyHeard:
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    assert isinstance(heard, Heard)
    part = heard.model_copy(
        update={"unheard": ("0:09",), "lost": ((9.1, 12.4),), "audio_sha256": RECORDING}
    )
    return Unsure(guesses=(part,), audio_sha256=RECORDING) if doubtful else part


def test_what_was_lost_is_offered_and_played_by_hash_and_seconds() -> None:
    visit = Visit(CORRIDOR)
    turn = take_turn(visit.check, heard_with_a_gap(visit, "wedged open", doubtful=False), NOON)
    told = next(prompt for prompt in turn.say if "0:09" in prompt.text)
    assert told.taps == ("play what I missed",)
    asked = turn.say[-1]
    for words in ("play what I missed", "play that", "play it back"):
        played = take_turn(
            turn.check, typed(UNDERSTANDING, words, expected_input(turn.check)), NOON
        )
        assert played.say[0].clip == Clip(audio_sha256=RECORDING, start=9.1, end=12.4)
        assert played.say[1:] == (asked,), "then the question again"
        assert (played.check.answers, played.enter) == (turn.check.answers, ())


def test_playing_at_a_read_back_is_no_yes_and_no_no() -> None:
    visit = Visit(CORRIDOR)
    visit.take(heard_with_a_gap(visit, "all clear", doubtful=True))
    pending = visit.check.pending
    said = visit.type("play that")
    assert visit.check.stage is Stage.CONFIRMING and visit.check.pending == pending
    assert said == ["At 0:09 you said this.", "Tap or say yes or no: Doorway: sound?"]
    visit.type("yes")
    assert visit.check.answers["clear"].confirmed


def test_a_recording_not_understood_at_all_is_played_whole_when_asked_for() -> None:
    visit = Visit(CORRIDOR)
    assert visit.type("play that")[0] == "There is nothing to play."
    turn = take_turn(visit.check, OffGrammar(audio_sha256=RECORDING), NOON)
    assert not any("play" in tap for prompt in turn.say for tap in prompt.taps)
    played = take_turn(
        turn.check, typed(UNDERSTANDING, "play that", expected_input(turn.check)), NOON
    )
    assert played.say[0].clip == Clip(audio_sha256=RECORDING)


def test_what_is_to_be_played_stays_known_over_a_restart() -> None:
    visit = Visit(CORRIDOR)
    visit.take(heard_with_a_gap(visit, "wedged open", doubtful=False))
    kept = Check.model_validate(
        {**visit.check.model_dump(mode="json"), "checklist": visit.check.checklist}
    )
    assert kept.missed == visit.check.missed != ()
