"""doorround hear calibrate, on real recordings and with the real engines."""

import csv
import os
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bot.cli import app
from bot.hearing.calibration import read_calibration
from bot.hearing.clips import STRANGE, read_clips

SAID = Path(__file__).parent / "said"
FOLDER = os.environ.get("DOORROUND_SPEECH")


def manifest(folder, rows, columns=("file", "words", "speaker", "question")):
    with (folder / "manifest.csv").open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(columns)
        writer.writerows(rows)


@pytest.fixture
def calibrate(tmp_path, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    folder = tmp_path / "notes"
    folder.mkdir()

    def run(rows, **more):
        manifest(folder, rows, **more)
        done = CliRunner().invoke(app, ["hear", "calibrate", str(folder)])
        kept = tmp_path / "home" / "calibration.toml"
        return done.exit_code, " ".join(done.output.split()), kept

    return run


def test_too_few_speakers_are_refused_and_nothing_is_kept(calibrate):
    code, says, kept = calibrate([[str(SAID / "yes.ogg"), "yes", "Ash", ""], [str(SAID / "no.ogg"), "no", "Elm", ""]])
    assert code != 0 and "2 speakers. Give those of 4 or more" in says
    assert not kept.exists()


def test_too_few_recordings_are_refused(calibrate):
    names = ["Ash", "Elm", "Oak", "Yew", "Fir", "Bay"]
    code, says, kept = calibrate(
        [[str(SAID / f"{word}.ogg"), word, name, ""] for name in names for word in ("yes", "no")]
    )
    assert code != 0 and "too few to fit on. Give at least 100" in says
    assert not kept.exists()


def test_a_manifest_without_speakers_says_which_column_to_add(calibrate):
    code, says, _ = calibrate([[str(SAID / "yes.ogg"), "yes"]], columns=("file", "words"))
    assert code != 0 and "lacks the column speaker. Add it." in says


def test_an_unknown_question_is_named(calibrate):
    code, says, _ = calibrate(
        [[str(SAID / "yes.ogg"), "yes", name, "hinge count"] for name in ("Ash", "Elm", "Oak", "Yew", "Fir", "Bay")]
    )
    assert code != 0 and 'There is no question "hinge count". See doorround questions.' in says


@pytest.mark.speech
@pytest.mark.skipif(not FOLDER, reason="DOORROUND_SPEECH names no folder of human speech")
def test_peoples_own_notes_fit_and_are_measured_on_other_speakers(calibrate):
    clips = read_clips(Path(FOLDER))
    some = [clip for clip in clips if clip.words in ("yes", "no")][::3]
    some += [clip for clip in clips if clip.words == STRANGE][::4]
    code, says, kept = calibrate([[str(clip.path), clip.words, clip.speaker, ""] for clip in some])
    assert code == 0, says
    assert "Brier score, 0 is best: before" in says
    if kept.exists():
        assert read_calibration("pair", kept).right.weights
        assert read_calibration("pocketsphinx", kept).right.weights == read_calibration("pocketsphinx").right.weights
    else:
        assert "no better, so nothing was changed" in says
