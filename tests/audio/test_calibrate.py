"""doorround hear calibrate, on real recordings and with the real engines."""

import csv
import os
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from doorround import wiring
from doorround.cli.app import app
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.adaptation import calibration_fit, probability_fit
from doorround.hearing.adaptation.labelled_clips import STRANGE, read_clips
from doorround.hearing.decision.calibration import FILE, read_calibration
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.tuning import TRIED
from doorround.hearing.session.recognition_worker import AtQuestion
from doorround.wiring import make_pool
from tests.whole import WHOLE, so_many

SAID = Path(__file__).parent / "said"
FOLDER = os.environ.get("DOORROUND_SPEECH")


def manifest(folder, rows, columns=("file", "words", "speaker", "question")):
    with (folder / "manifest.csv").open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(columns)
        writer.writerows(rows)


@pytest.fixture
def calibrate(tmp_path, monkeypatch):
    # the engines are changed: not those that other tests hear with
    monkeypatch.setattr(wiring, "choose_engines", choose_engines)
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
    code, says, kept = calibrate(
        [[str(SAID / "yes.ogg"), "yes", "Ash", ""], [str(SAID / "no.ogg"), "no", "Elm", ""]]
    )
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
        [
            [str(SAID / "yes.ogg"), "yes", name, "hinge count"]
            for name in ("Ash", "Elm", "Oak", "Yew", "Fir", "Bay")
        ]
    )
    assert code != 0 and 'There is no question "hinge count". See doorround questions.' in says


SIX = ("Ash", "Elm", "Oak", "Yew", "Fir", "Bay")


def test_a_folder_without_a_manifest_says_what_to_write(tmp_path, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    done = CliRunner().invoke(app, ["hear", "calibrate", str(tmp_path)])
    assert done.exit_code != 0
    assert (
        "holds no manifest.csv. Write one, with the columns file, words, speaker and question."
        in done.output
    )


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (["gone.ogg", "yes", "Ash", ""], "manifest.csv, line 3: there is no recording gone.ogg"),
        (
            [str(SAID / "no.ogg"), "", "Ash", ""],
            "line 3: words is empty. Fill it in. Words that are not an answer",
        ),
        ([str(SAID / "no.ogg"), "no", "", ""], "line 3: speaker is empty."),
    ],
)
def test_a_bad_line_is_named(calibrate, row, says):
    code, told, kept = calibrate([[str(SAID / "yes.ogg"), "yes", "Ash", ""], row])
    assert code != 0 and says in told
    assert not kept.exists()


def test_what_cannot_be_heard_and_what_is_no_answer_there_is_told(calibrate, tmp_path):
    (tmp_path / "notes" / "torn.ogg").write_bytes(b"OggS")
    rows = [["torn.ogg", "yes", name, ""] for name in SIX[:2]]
    rows += [[str(SAID / "painted-over.ogg"), "Painted over.", name, "seals"] for name in SIX[:4]]
    rows += [[str(SAID / "three.ogg"), "panted over", name, "seals"] for name in SIX[:4]]
    code, says, _ = calibrate(rows)
    assert code != 0 and "too few to fit on" in says
    assert "2 recordings cannot be used and are left out: torn.ogg is damaged" in says
    assert (
        "4 recordings say something that is not an answer there, and count as such: “panted over”"
        " at seals Hearing" in says
    )


def test_a_manifest_as_a_spreadsheet_writes_it_is_read(tmp_path):
    text = f"file;words;speaker;question\r\n{SAID / 'yes.ogg'};yes;Ash;\r\n"
    (tmp_path / "manifest.csv").write_bytes(b"\xef\xbb\xbf" + text.encode())
    [clip] = read_clips(tmp_path)
    assert (clip.path, clip.words, clip.speaker, clip.question) == (
        SAID / "yes.ogg",
        "yes",
        "Ash",
        "",
    )


async def test_the_workers_hear_with_the_organisations_own_coefficients(tmp_path):
    settings = read_settings({"DOORROUND_HOME": str(tmp_path), "DOORROUND_ENGINE": "listener"})
    doubting = re.sub(
        r"(\[listener\.(?:right|quiet)\]\nbias = ).*",
        r"\g<1>-30.0",
        FILE.read_text(encoding="utf-8"),
    )
    assert doubting != FILE.read_text(encoding="utf-8")
    at_seals = AtQuestion(ExpectedInput(Stage.ASKING, load_checklist().ask("seals")))
    recording = (SAID / "painted-over.ogg").read_bytes()
    kinds = []
    for text in (None, doubting):
        if text:
            settings.calibration.write_text(text, encoding="utf-8")
        async with make_pool(settings, workers=1) as pool:
            kinds.append((await pool.hear(recording, at_seals)).kind)
    assert kinds[0] == "heard" and kinds[1] != "heard"


@pytest.mark.speech
@pytest.mark.skipif(not FOLDER, reason="DOORROUND_SPEECH names no folder of human speech")
def test_peoples_own_notes_fit_and_are_measured_on_other_speakers(calibrate, monkeypatch):
    clips = read_clips(Path(FOLDER))
    some = [clip for clip in clips if clip.words in ("yes", "no")][:: so_many(10, 4)]
    some += [clip for clip in clips if clip.words == STRANGE][:: so_many(25, 10)]
    # a fit on half the speakers of so few; that fewer than 100 are refused is tried above
    monkeypatch.setattr(probability_fit, "MIN_TRIALS", so_many(30, 100))
    # each of the listener's figures takes as long as all the rest: only make test-whole tries them
    # on recordings; that all are tried, tests/unit/test_tuning.py holds
    monkeypatch.setattr(calibration_fit, "TRIED", TRIED if WHOLE else {})
    code, says, kept = calibrate([[str(clip.path), clip.words, clip.speaker, ""] for clip in some])
    assert code == 0, says
    assert "Brier score, 0 is best: before" in says
    if kept.exists():
        assert read_calibration("pair", kept).right.weights
        assert (
            read_calibration("pocketsphinx", kept).right.weights
            == read_calibration("pocketsphinx").right.weights
        )
    else:
        assert "no improvement, so nothing was changed" in says
