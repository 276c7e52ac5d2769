"""Every written visit is replayed: the real grammar, dialogue and logbook, and for voice the real
recogniser.
"""

from pathlib import Path

import pytest

from doorround.channels.replay.replay import Replay
from doorround.channels.replay.transcript import ScriptError, read_script
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.entries import EntryKind
from doorround.wiring import EngineLoader, load_understanding

DEMO = Path(__file__).parents[2] / "demo_conversations"
SCRIPTS = sorted(DEMO.glob("*.talk"))


@pytest.fixture(scope="module")
def ears():
    return EngineLoader(read_settings({"DOORROUND_HOME": "unused"}))


def played(path, folder, ears):
    player = Replay(read_script(path), folder, load_understanding(), ears, load_checklist())
    return player, player.play()


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_the_visit_goes_as_written_and_its_logbook_is_whole(path, tmp_path, ears):
    player, logbook = played(path, tmp_path, ears)
    with logbook:
        assert player.differences == []
        assert logbook.verify() == []
        assert [entry.kind for entry in logbook.entries()].count(EntryKind.SIGNED) == len(
            player.script.doors
        )


def test_there_are_eight_visits_and_three_by_voice():
    scripts = [read_script(path) for path in SCRIPTS]
    assert len(scripts) >= 8
    assert sum(bool(script.spoken) for script in scripts) >= 3


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_every_voice_line_has_its_recording(path):
    script = read_script(path)
    assert [words for words in script.spoken if not script.recording(words).is_file()] == []


def test_no_recording_lies_about_unused():
    used = {
        script.recording(words).name
        for script in map(read_script, SCRIPTS)
        for words in script.spoken
    }
    assert {path.name for path in (DEMO / "voice").iterdir()} == used


def test_a_wrong_line_is_told_with_its_number(tmp_path, ears):
    text = (DEMO / "cupboard-kept-locked.talk").read_text(encoding="utf-8")
    path = tmp_path / "wrong.talk"
    path.write_text(
        text.replace("bot: How many hinges?", "bot: All hinges fine?"),
        encoding="utf-8",
    )
    player, logbook = played(path, tmp_path, ears)
    logbook.close()
    [difference] = player.differences
    assert str(difference).endswith("written “All hinges fine?”, said “How many hinges?”")


def test_a_line_left_out_is_told(tmp_path, ears):
    text = (DEMO / "cupboard-kept-locked.talk").read_text(encoding="utf-8")
    path = tmp_path / "short.talk"
    path.write_text(text.replace("bot: How many hinges?\n", ""), encoding="utf-8")
    player, logbook = played(path, tmp_path, ears)
    logbook.close()
    assert [difference.said for difference in player.differences] == ["How many hinges?"]


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (
            "door: number=1\nperson: Robin\nhello",
            'line 3: begin with "bot:", "caretaker:", "caretaker (voice):" or "["',
        ),
        ("door: number=1; rating=FD3O\nperson: Robin\nbot: x", '"FD3O" is not a fire rating'),
        ("at: yesterday", 'line 1: write the time as "2026-03-02 09:00"'),
        ("bot: x", "a script needs a line door:, a line person: and a talk"),
    ],
)
def test_a_script_that_cannot_be_read_says_where_and_what_to_write(tmp_path, text, complaint):
    path = tmp_path / "bad.talk"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ScriptError) as error:
        read_script(path)
    assert complaint in str(error.value)
