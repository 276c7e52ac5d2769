"""Questions as they are read aloud: real voices, kept voice notes, and failures that say what to
do.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from doorround.config.settings import SettingsError, read_settings
from doorround.hearing.audio.decoding import load_sound
from doorround.speaking.tts_cache import TtsCache
from doorround.speaking.tts_text import MAX_LETTERS, tts_text
from doorround.speaking.voice import CannotSpeak, CommandVoice, PackageVoice, voice_named


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (
            "⚠️ ACT NOW. Remove the wedge.\nThe doorway: clear?",
            "ACT NOW. Remove the wedge. The doorway: clear?",
        ),
        ("Door 12: first floor. FD30S.", "Door 12: first floor. F D 30 S."),
        ("Gap: 3.5 mm, or 1/8 in.", "Gap: 3.5 millimetres, or 1 over 8 inches."),
        ("Sign: “Fire door keep shut”. Right?", "Sign: Fire door keep shut. Right?"),
        ("skip · help\n\nundo", "skip, help. undo."),
        ("3 in a row", "3 in a row"),
    ],
)
def test_marks_for_the_eye_are_not_read_and_units_are_said_in_full(written: str, said: str):
    assert tts_text(written).removesuffix(".") == said.removesuffix(".")


def test_a_long_text_is_read_to_the_end_of_a_sentence():
    said = tts_text("The frame is split here. " * 60)
    assert len(said) <= MAX_LETTERS and said.endswith("here.")


def test_the_packages_voice_speaks_the_same_words_once(tmp_path: Path):
    spoken = TtsCache(PackageVoice(), tmp_path / "spoken")
    name = spoken.note("This side, leaf: undamaged, no holes?")
    sound = load_sound(spoken.sound(name))
    assert 1.5 < sound.seconds < 6 and sound.level_dbfs > -40
    stood = (tmp_path / "spoken" / f"{name}.ogg").stat().st_mtime_ns
    assert spoken.note("This side, leaf: undamaged, no holes?") == name
    assert (tmp_path / "spoken" / f"{name}.ogg").stat().st_mtime_ns == stood
    assert spoken.note("⚠️ …") == ""


def command(folder: Path, program: str) -> CommandVoice:
    path = folder / "say.py"
    path.write_text(program)
    voice = voice_named(f"{sys.executable} {path}")
    assert isinstance(voice, CommandVoice)
    return voice


BEEP = """
import io, sys, wave
words = sys.stdin.read()
with wave.open(out := io.BytesIO(), "wb") as file:
    file.setnchannels(1); file.setsampwidth(2); file.setframerate(22050)
    file.writeframes(b"\\x00\\x20\\x00\\xe0" * 2205 * len(words))
sys.stdout.buffer.write(out.getvalue())
"""


def test_a_command_of_ones_own_speaks(tmp_path: Path):
    sound = load_sound(command(tmp_path, BEEP).speak("twelve"))
    assert sound.seconds == pytest.approx(1.2, abs=0.1)


@pytest.mark.parametrize("program", ["raise SystemExit(3)", "print('no sound')", ""])
def test_a_command_that_gives_no_sound_is_one_line(tmp_path: Path, program: str):
    with pytest.raises(CannotSpeak) as why:
        command(tmp_path, program).speak("twelve")
    assert "gave no sound" in str(why.value) and "\n" not in str(why.value)
    assert not TtsCache(command(tmp_path, BEEP), tmp_path / "kept").note("")


def test_a_missing_package_says_what_to_install(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "hibari", None)
    with pytest.raises(CannotSpeak, match="pip install"):
        PackageVoice().speak("twelve")


def test_only_so_many_voice_notes_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("doorround.speaking.tts_cache.MAX_KEPT", 2)

    class Mute:
        key = "mute"

        def speak(self, words: str) -> bytes:
            return words.encode()

    spoken = TtsCache(Mute(), tmp_path)
    names = []
    for place, words in enumerate(("one", "two", "three")):
        names.append(spoken.note(words))
        os.utime(tmp_path / f"{names[-1]}.ogg", (place, place))
    assert {path.stem for path in tmp_path.glob("*.ogg")} == set(names[1:])


def test_the_setting_names_the_package_a_command_or_nothing():
    home = {"DOORROUND_HOME": "nowhere"}
    assert read_settings(home).voice == "package" and voice_named("off") is None
    assert isinstance(voice_named("package"), PackageVoice)
    assert (
        read_settings({**home, "DOORROUND_VOICE": "espeak-ng --stdout"}).voice
        == "espeak-ng --stdout"
    )
    for wrong in ("'unclosed", " "):
        with pytest.raises(SettingsError, match="DOORROUND_VOICE"):
            read_settings({**home, "DOORROUND_VOICE": wrong})
