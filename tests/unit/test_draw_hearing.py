"""What was measured of hearing, drawn and told: from a made-up work file, so that each figure is
known.
"""

import json
import struct

import pytest

from scripts.draw_hearing import HAND_BEGIN, HAND_END, draw_all
from tests.benchmarks.hearing_page import (
    all_wrong_passes,
    beside,
    engine_table,
    flip_table,
    interval,
    phrase_misses,
    phrase_table,
    table,
    wrong_passes,
)

CONDITIONS = ("clean", "pink 10 dB", "pink 0 dB", "voices 5 dB", "radio 0 dB")


def trial(clip, words, condition, phrase, probability, accepted):
    return {
        "clip": clip,
        "source": "made up",
        "words": words,
        "condition": condition,
        "phrase": phrase,
        "outcome": "heard" if accepted else "unsure",
        "accepted": accepted,
        "probability": probability,
        "seconds": 0.1,
        "length": 1.0,
        "wrong_pass": accepted and phrase == "yes" and words != "yes",
    }


def trials():
    rows = []
    for condition in CONDITIONS:
        rows += [
            trial("yes/1.flac", "yes", condition, "yes", 0.97, True),
            trial("no/2.flac", "no", condition, "no", 0.91, True),
            trial("unknown/3.flac", "_unknown_", condition, None, 0.0, False),
            trial("silence/4.flac", "_silence_", condition, None, 0.0, False),
        ]
    rows[-6] = trial("unknown/3.flac", "_unknown_", "voices 5 dB", "yes", 0.96, True)
    rows[-3] = trial("no/2.flac", "no", "radio 0 dB", "yes", 0.42, False)
    rows[0] |= {"written": "yes", "written_seconds": 0.8, "plain": "yes", "plain_seconds": 0.02}
    rows[1] |= {"written": "know", "written_seconds": 0.8, "plain": "no", "plain_seconds": 0.02}
    return rows


def phrase(right, accepted, wrong_pass=False):
    return {
        "question": "seals",
        "condition": "clean",
        "words": "seals missing",
        "phrase": "seals in place",
        "outcome": "heard",
        "right": right,
        "accepted": accepted,
        "wrong_pass": wrong_pass,
        "probability": 0.9,
        "seconds": 0.1,
        "length": 2.0,
    }


PHRASES = [phrase(True, True), phrase(True, False), phrase(False, True, True), phrase(False, False)]


ENGINES = {
    "an ear": {
        "lists": {
            "yes/no": {
                "asked": 209,
                "right": 98.564,
                "best guess right": 99.522,
                "right ones refused": 12.0,
                "wrong accepted": 0.0,
                "no accepted as yes": 1,
                "ms a clip": 20.4,
                "time / length": 0.0712,
                "strangers accepted": 0.25,
                "silence accepted": 0.0,
            },
            "8 kHz digits": {
                "asked": 200,
                "right": 81.5,
                "best guess right": 81.5,
                "right ones refused": 30.0,
                "wrong accepted": 2.5,
                "no accepted as yes": 0,
                "ms a clip": 20.6,
                "time / length": 0.1,
            },
        },
        "noise": {"pink 10 dB": {"no": 101, "accepted as yes": 2, "right and accepted": 81.3}},
        "peak MB": 499.4,
    }
}


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    tmp_path = tmp_path_factory.mktemp("measured")
    for name, rows in (("noise.jsonl", trials()), ("questions.jsonl", PHRASES)):
        (tmp_path / name).write_text(
            "".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8"
        )
    (tmp_path / "engines.json").write_text(json.dumps(ENGINES), encoding="utf-8")
    files = [tmp_path / name for name in ("noise.jsonl", "questions.jsonl", "hearing")]
    draw_all(*files, "abc1234", tmp_path / "engines.json")
    return tmp_path / "hearing"


@pytest.mark.parametrize("name", ["noise", "roc", "reliability"])
def test_each_picture_is_a_small_png_as_wide_as_a_phone(drawn, name):
    data = (drawn / f"{name}.png").read_bytes()
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    assert struct.unpack(">I", data[16:20]) == (750,)
    assert len(data) < 100_000


def test_the_page_states_the_counts_and_shows_each_picture(drawn):
    text = (drawn / "README.md").read_text(encoding="utf-8")
    assert "Measured with the code of commit `abc1234`: 4 clips" in text
    assert "(1 yes, 1 no, 1 strangers' words, 1 silence), 5 conditions, 20 trials" in text
    assert 'Wrong passes: 1 of 15 trials in which nobody said "yes"' in text
    assert "11 trials for which a phrase" in text
    assert "bench_questions --each 4 --seed 303 --levels --work" in text
    for name in ("noise", "roc", "reliability"):
        assert f"]({name}.png)" in text


def test_drawing_the_page_again_keeps_what_was_written_by_hand(tmp_path):
    rows = "".join(json.dumps(row) + "\n" for row in trials())
    (tmp_path / "noise.jsonl").write_text(rows, encoding="utf-8")
    page = tmp_path / "README.md"
    by_hand = f"{HAND_BEGIN}\n\nOwn words: 8 of 10.\n\n{HAND_END}"
    page.write_text(f"# Old title\n\n{by_hand}\n\nOld figures.\n", encoding="utf-8")
    for _ in range(2):
        draw_all(tmp_path / "noise.jsonl", None, tmp_path, "abc1234")
    text = page.read_text(encoding="utf-8")
    assert text.startswith(f"# Speech recognition accuracy\n\n{by_hand}\n\n")
    assert text.count("Own words: 8 of 10.") == 1 and "Old figures" not in text


def test_every_wrong_pass_is_listed_with_clip_and_condition():
    assert (
        wrong_passes(trials()) == "- `unknown/3.flac`, voices 5 dB: unknown said, yes heard, 0.96"
    )
    assert wrong_passes(trials()[:8]) == "No wrong pass in 8 trials."


def test_a_row_of_the_table_counts_answers_and_what_is_none_apart():
    lines = table(trials()).splitlines()
    assert "| clean | 2 | 100.0 | 100.0 | 0 | 3 | 100.0 | 0 | 2 | 0.100 |" in lines
    assert "| radio 0 dB | 2 | 50.0 | 50.0 | 0 | 3 | 100.0 | 0 | 2 | 0.100 |" in lines
    assert any(line.startswith("| voices 5 dB | 2 | 100.0 | 100.0 | 1 | 3 |") for line in lines)


def test_others_are_counted_on_the_same_clips_only():
    lines = beside(trials()).splitlines()
    assert lines[0].startswith("| 2 clean yes and no |")
    assert "| 0.800 | 8.0 |" in lines[3] and lines[3].split("|")[2].strip().startswith("50.0 ")
    assert "| 0.020 | 0.2 |" in lines[4] and lines[4].split("|")[2].strip().startswith("100.0 ")
    assert "No clip" in beside(trials()[2:])


def test_trade_phrases_wrongly_accepted_are_listed_and_counted():
    assert (
        phrase_table(PHRASES).splitlines()[2]
        == "| clean | 4 | 50.0 (15.0 to 85.0) | 25.0 (4.6 to 69.9) | 1 | 1 | 0.050 |"
    )
    assert (
        phrase_misses(PHRASES)
        == '- seals, clean: "seals missing" said, "seals in place" heard, 0.90, a wrong pass'
    )
    assert phrase_misses(PHRASES[:2]) == "None of 2 was accepted wrongly."
    assert interval([], bool) == ""


def test_each_engine_has_a_row_a_list_and_leaves_empty_what_was_not_measured():
    lines = engine_table(ENGINES).splitlines()
    assert (
        lines[2]
        == "| an ear | yes/no, 209 | 98.56 | 99.52 | 12.00 | 0.00 | 1 | 0.25 | 0.00 | 20 | 0.071 |"
        " 499 |"
    )
    assert (
        lines[3]
        == "| an ear | 8 kHz digits, 200 | 81.50 | 81.50 | 30.00 | 2.50 | 0 |  |  | 21 | 0.100 |"
        " 499 |"
    )
    assert "| an ear | 2 of 101 [81] |" in flip_table(ENGINES)


def test_the_page_shows_the_engines_and_says_so_where_they_were_not_measured(drawn, tmp_path):
    assert engine_table(ENGINES) in (drawn / "README.md").read_text(encoding="utf-8")
    (tmp_path / "noise.jsonl").write_text(
        "".join(json.dumps(row) + "\n" for row in trials()), encoding="utf-8"
    )
    draw_all(tmp_path / "noise.jsonl", None, tmp_path / "hearing", "abc1234")
    assert "Not measured in this run." in (tmp_path / "hearing" / "README.md").read_text(
        encoding="utf-8"
    )


def test_wrong_passes_are_counted_over_people_and_trade_phrases_at_the_levels_that_both_have():
    lines = all_wrong_passes(trials(), PHRASES).splitlines()
    assert lines[2].startswith("| clean | 8 | 7 | 1 | 14.29 |"), (
        "three of four people said no yes, and four phrases"
    )
    assert lines[3].startswith("| pink, 10, 5 and 0 dB | 8 | 6 | 0 | 0.00 |")
    assert lines[4].startswith("| voices, 10, 5 and 0 dB | 4 | 3 | 1 | 33.33 |"), (
        "nothing of the radio"
    )
