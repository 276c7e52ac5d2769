"""The visit in a terminal: typing, buttons, voice files, leaving and coming back.

Real logbook, real grammar.
"""

from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import numpy as np
import pytest

from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.playback import RecordingGoneError
from doorround.channels.terminal.terminal import (
    NoMicrophoneError,
    converse,
    prompt_lines,
    record_until_enter,
    sound_file,
)
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.check import Prompt, Stage
from doorround.domain.door import Door
from doorround.domain.input_result import By
from doorround.domain.values import Condition
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.excerpt import as_ogg
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.logbook.listing import clip_of
from doorround.opened_logbook import open_logbook
from doorround.wiring import EngineLoader, make_talk

AUDIO = Path(__file__).parents[1] / "audio"
VOICE = Path(__file__).parents[2] / "demo_conversations" / "voice"
CUPBOARD = Door.model_validate(
    {
        "number": "R3",
        "use": "cupboard",
        "rating": "FD30",
        "leaves": "one",
        "material": "timber",
        "glazing": "none",
        "seals": "plain intumescent",
        "seals_in": "frame",
        "hinges": 3,
        "closer": "none, kept locked",
        "hold_open": "none",
        "latch": "lock",
        "threshold_seal": "none",
        "leaf_width_mm": 700,
        "leaf_height_mm": 1900,
        "leaf_mass_kg": 30,
    }
)
START = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def settings(tmp_path):
    return read_settings({"DOORROUND_HOME": str(tmp_path)})


def visit(settings, typed, door=CUPBOARD, record=lambda: b"", begun=START):
    """Type these lines in a terminal; gives what was shown. The end of the lines is Ctrl-D."""
    lines = iter(typed)
    shown = []
    ticks = count()

    def read():
        try:
            return next(lines)
        except StopIteration:
            raise EOFError from None

    with open_logbook(settings) as logbook:
        if not logbook.doors():
            logbook.add_door(door, "Robin", START)
        talk = make_talk("terminal/Robin", "Robin", logbook, EngineLoader(settings), settings)
        first = (
            TalkReply(talk.check.said)
            if talk.check
            else talk.begin(door.number, load_checklist(), START)
        )
        try:
            converse(
                talk,
                first,
                read,
                shown.append,
                lambda: begun + timedelta(seconds=next(ticks)),
                record,
            )
        except EOFError:
            shown.append("(left)")
        return shown, logbook.position("terminal/Robin")


def test_the_first_line_says_which_door(settings):
    shown, _ = visit(settings, [])
    assert shown[0] == "bot: Door R3. FD30."


def test_a_button_is_a_tap(settings):
    _, check = visit(settings, [":1"])
    assert check.answers["lock"].by is By.TAP
    assert check.answers["lock"].heard == "it was locked"


def test_a_button_that_is_not_there_answers_nothing(settings):
    shown, check = visit(settings, [":9"])
    assert check.answers == {}
    told = "bot: There is no button 9 here. They are :1 to :2; nothing was entered."
    assert told in shown


def test_an_empty_line_answers_nothing(settings):
    shown, check = visit(settings, [""])
    assert check.answers == {}
    assert "bot: There was nothing in that message." in shown


def test_leaving_and_coming_back_goes_on_where_it_stood(settings):
    visit(settings, ["it was locked", "all clear"])
    shown, check = visit(settings, ["right and readable"], begun=START + timedelta(hours=1))
    assert shown[1].startswith("bot: Sign on this side:")
    assert set(check.answers) == {"lock", "clear", "sign.here"}


def test_the_path_of_a_voice_file_is_heard(settings):
    _, check = visit(settings, ["it was locked", str(VOICE / "all-clear.ogg")])
    answer = check.answers["clear"]
    assert answer.value == Condition()
    assert answer.by is By.VOICE
    assert answer.audio_sha256
    assert (settings.recordings / answer.audio_sha256).read_bytes() == (
        VOICE / "all-clear.ogg"
    ).read_bytes()


def test_a_file_that_is_no_recording_says_so_and_answers_nothing(settings, tmp_path):
    fake = tmp_path / "fake.ogg"
    fake.write_bytes(b"not a recording at all" * 50)
    shown, check = visit(settings, [str(fake)])
    assert check.answers == {}
    assert any("not a sound recording" in line for line in shown)


def test_a_recording_from_the_microphone_is_heard(settings):
    _, check = visit(
        settings, ["it was locked", "record"], record=(VOICE / "all-clear.ogg").read_bytes
    )
    assert check.answers["clear"].by is By.VOICE


def test_without_a_microphone_it_says_what_to_do(settings):
    def none():
        raise NoMicrophoneError("No microphone found. Type, or give the path of a voice file.")

    shown, check = visit(settings, ["record", "it was locked"], record=none)
    assert "bot: No microphone found. Type, or give the path of a voice file." in shown
    assert "lock" in check.answers


def test_a_machine_without_sound_has_no_microphone():
    try:
        import sounddevice

        if sounddevice.query_devices():
            pytest.skip("this machine has sound devices")
    except OSError:
        pass
    with pytest.raises(NoMicrophoneError, match="No microphone"):
        record_until_enter(lambda: "")


def test_a_spoken_note_is_kept_as_its_recording(settings):
    _, check = visit(settings, ["note", str(VOICE / "all-clear.ogg")])
    assert check.stage is Stage.ASKING
    with open_logbook(settings) as logbook:
        [noted] = [entry for entry in logbook.entries() if entry.kind == "noted"]
    assert (settings.recordings / noted.body["audio_sha256"]).is_file()
    assert "lock" not in check.answers


def test_only_existing_sound_files_are_taken_for_recordings(tmp_path):
    assert sound_file("three") is None
    assert sound_file(str(tmp_path / "gone.ogg")) is None


def test_buttons_are_numbered_under_the_question(settings):
    shown, _ = visit(settings, [])
    assert "     :1 it was locked  :2 it was open" in shown
    assert prompt_lines(()) == []


def in_one_note(folder, *names):
    """Recordings of tests/audio as one, 0.8 s apart."""
    pause = np.zeros(round(0.8 * RATE), np.float32)
    parts = [part for name in names for part in (load_sound(AUDIO / f"{name}.ogg").samples, pause)]
    path = folder / "note.ogg"
    path.write_bytes(as_ogg(sound_of(np.concatenate(parts))))
    return path


def test_what_was_missed_is_cut_out_and_shown_as_a_file(settings, tmp_path):
    note = in_one_note(tmp_path, "negated/lock--unlocked", "nothing/talk-shall-we-have-the")
    shown, check = visit(settings, [str(note), ":1", "play that"])
    assert "     :1 play what I missed" in shown
    paths = [line.removeprefix("     sound: ") for line in shown if line.startswith("     sound: ")]
    assert len(paths) == 2 and paths[0] == paths[1]
    [clip] = check.missed
    assert load_sound(Path(paths[0])).seconds == pytest.approx(clip.end - clip.start + 0.4, abs=0.2)
    assert check.answers["lock"].heard == "unlocked"
    with open_logbook(settings) as logbook:
        answered = next(entry.seq for entry in logbook.entries() if entry.kind == "answered")
        said = clip_of(logbook, answered)
        assert (said.start, said.end) == check.answers["lock"].spoken
        assert 0 < said.end < clip.start
        with pytest.raises(ValueError, match="Entry 1 has no recording"):
            clip_of(logbook, 1)
        with pytest.raises(ValueError, match="no entry 999"):
            clip_of(logbook, 999)


def test_a_recording_that_is_gone_is_told(settings):
    sound = AUDIO / "nothing" / "talk-the-bus-was-late.ogg"
    with open_logbook(settings) as logbook:
        logbook.add_door(CUPBOARD, "Robin", START)
        talk = make_talk("terminal/Robin", "Robin", logbook, EngineLoader(settings), settings)
        talk.begin("R3", load_checklist(), START)
        talk.take(Incoming("1", recording=sound.read_bytes()), START)
        [kept] = settings.recordings.iterdir()
        kept.unlink()
        with pytest.raises(RecordingGoneError, match="gone from"):
            talk.clip_file(talk.check.missed[0])


def test_buttons_of_two_messages_have_numbers_of_their_own():
    two = (
        Prompt(text="Lost.", taps=("play what I missed",)),
        Prompt(text="Right?", taps=("yes", "no")),
    )
    assert prompt_lines(two)[1::2] == ["     :1 play what I missed", "     :2 yes  :3 no"]
