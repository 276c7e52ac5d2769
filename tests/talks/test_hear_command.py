"""`doorround hear`: typed words and recordings at a question, one object a line."""

import json
from pathlib import Path

import pytest
from test_commands import run

from doorround.messages.recordings import TOO_MUCH_SAID

__all__ = ["run"]

DEMO = Path(__file__).parents[2] / "demo_conversations"
KEYS = [
    "file",
    "outcome",
    "phrase",
    "meaning",
    "read_back",
    "offered",
    "transcript",
    "probability",
    "engine",
    "problem",
    "seconds",
]
VOICE = DEMO / "voice"


def rows(text):
    return [json.loads(line) for line in text.splitlines()]


def test_typed_words_are_heard_at_a_question(run):
    [row] = rows(
        run(
            "hear",
            "--question",
            "hinges.fixings",
            "--text",
            "two screws missing, top hinge",
            "--json",
        )
    )
    assert row["outcome"] == "heard"
    [meaning] = row["meaning"]
    assert meaning["question"] == "hinges.fixings"
    assert meaning["defects"] == [
        {
            "name": "screw_missing",
            "where": "top hinge",
            "face": None,
            "count": 2,
            "made_good": False,
        }
    ]
    assert list(row) == KEYS


def test_typed_words_that_fit_nothing_are_off_grammar(run):
    [row] = rows(run("hear", "--question", "seals", "--text", "purple", "--json"))
    assert (row["outcome"], row["meaning"]) == ("off_grammar", None)


def test_each_line_of_a_file_is_an_answer_in_own_words(run, tmp_path):
    said = tmp_path / "said.txt"
    said.write_text(
        "goes with a bang\n\nshuts lovely\nkaput innit\nkaputtski\nfault: hums\n",
        encoding="utf-8",
    )
    listen = ("hear", "--question", "closer.full", "--json", "--texts")
    bang, empty, lovely, kaput, kaputtski, hums = rows(run(*listen, said))
    assert (empty["outcome"], empty["offered"]) == ("silence", None)
    assert hums["meaning"] == [{"question": "closer.full", "kind": "own_words", "text": "hums"}]
    assert (bang["outcome"], bang["read_back"]) == ("heard", False)
    assert bang["meaning"][0]["defects"][0]["name"] == "slams"
    assert (lovely["outcome"], lovely["read_back"]) == ("unsure", True)
    assert lovely["meaning"][0]["defects"] == []
    assert kaput["meaning"][0]["defects"][0]["name"] == "broken"
    assert (kaputtski["outcome"], kaputtski["meaning"]) == ("off_grammar", None)
    first, *_, own = kaputtski["offered"]
    assert first[0]["defects"][0]["name"] == "broken"
    assert own == [{"question": "closer.full", "kind": "own_words", "text": "kaputtski"}]


def test_line_for_line_a_file_from_any_editor_is_answered(run, tmp_path):
    said = tmp_path / "said.txt"
    said.write_bytes("\ufeffclear\r\n\r\nит\u2028заело\x0c\r\nwedged".encode())
    first, empty, other, last = rows(run("hear", "--question", "clear", "--json", "--texts", said))
    assert (first["outcome"], first["phrase"], first["read_back"]) == ("heard", "clear", False)
    assert empty["outcome"] == "silence"
    assert other["offered"][-1][0]["text"] == "ит\u2028заело\x0c"
    assert last["meaning"][0]["defects"][0]["name"] == "wedged"


def test_a_file_that_cannot_be_read_is_refused_with_what_to_do(run, tmp_path):
    listen = ("hear", "--question", "clear", "--texts")
    other = tmp_path / "other.txt"
    refused = {
        tmp_path / "none.txt": "There is no file",
        tmp_path: "is a folder. Give a text file.",
        other: "is not UTF-8 text. Save it as UTF-8.",
    }
    other.write_bytes("café broken\n".encode("latin-1"))
    for path, why in refused.items():
        assert why in run(*listen, path, fails=True)
    other.write_bytes(b"")
    assert "is empty" in run(*listen, other, fails=True)


def test_a_line_longer_than_any_answer_says_so_and_offers_nothing(run, tmp_path):
    said = tmp_path / "said.txt"
    said.write_text("a crack " * 1250, encoding="utf-8")
    [row] = rows(run("hear", "--question", "clear", "--json", "--texts", said))
    assert (row["outcome"], row["meaning"], row["offered"]) == ("off_grammar", None, None)
    assert row["problem"] == TOO_MUCH_SAID


def test_a_typed_yes_to_a_part_is_read_back_as_in_a_check(run):
    for key, outcome in (("frame.here", "unsure"), ("gaps.sides", "off_grammar")):
        [row] = rows(run("hear", "--question", key, "--json", "--text", "yes"))
        assert (row["outcome"], row["read_back"]) == (outcome, outcome == "unsure")
    [row] = rows(run("hear", "--question", "frame.here", "--json", "--text", "Yes!"))
    assert row["meaning"] == [{"question": "frame.here", "kind": "condition", "defects": []}]


def test_a_fault_in_own_words_is_offered_wherever_a_check_offers_it(run):
    for key, offered in (("gaps.sides", True), ("mark", True), ("register.use", False)):
        [row] = rows(run("hear", "--question", key, "--json", "--text", "manky old thing"))
        own = [{"question": key, "kind": "own_words", "text": "manky old thing"}]
        assert (own in row["offered"]) is offered, key


@pytest.mark.parametrize(
    "listen_for", [("--question", "clear"), ("--say", "all clear", "--say", "painted over")]
)
def test_typed_words_and_recordings_give_the_same_keys_whatever_came_of_them(
    run, tmp_path, listen_for
):
    broken = tmp_path / "broken.ogg"
    broken.write_bytes(b"no sound")
    files = (
        VOICE / "all-clear.ogg",
        VOICE / "silence.ogg",
        VOICE / "talking-about-lunch.ogg",
        broken,
    )
    found = rows(run("hear", *listen_for, "--json", *files))
    for words in ("all clear", "al clear", "not wedged", "lunch", ""):
        found += rows(run("hear", *listen_for, "--json", "--text", words))
    assert {tuple(row) for row in found} == {tuple(KEYS)}
    assert {row["outcome"] for row in found} >= {"heard", "silence", "bad_audio", "off_grammar"}


def test_the_same_words_typed_and_spoken_mean_the_same(run):
    listen = ("hear", "--question", "seals", "--json")
    [spoken] = rows(run(*listen, VOICE / "painted-over.ogg"))
    [written] = rows(run(*listen, "--text", "painted over"))
    same = ("outcome", "phrase", "meaning", "read_back", "problem")
    assert [spoken[key] for key in same] == [written[key] for key in same]
    assert type(spoken["probability"]) is type(written["probability"]) is float


def test_a_denied_fault_is_marked_as_read_back_and_a_recording_with_nobody_in_it_says_what_to_do(
    run,
):
    [denied] = rows(run("hear", "--question", "clear", "--json", "--text", "not wedged"))
    assert denied["outcome"] == "heard" and denied["read_back"]
    [silent] = rows(run("hear", "--question", "clear", "--json", VOICE / "silence.ogg"))
    assert silent["problem"] == "Too quiet. Hold the phone nearer." and not silent["read_back"]


def test_recordings_are_heard_one_object_a_line(run, tmp_path):
    broken = tmp_path / "broken.ogg"
    broken.write_bytes(b"")
    found = rows(
        run(
            "hear",
            "--question",
            "clear",
            "--json",
            VOICE / "all-clear.ogg",
            VOICE / "silence.ogg",
            broken,
        )
    )
    assert [row["outcome"] for row in found] == ["heard", "silence", "bad_audio"]
    assert found[0]["phrase"] == "all clear"
    assert found[0]["meaning"] == [{"question": "clear", "kind": "condition", "defects": []}]
    assert 0.5 < found[0]["probability"] <= 1
    assert "empty" in found[2]["problem"]


@pytest.mark.parametrize("engine", ["pocketsphinx", "listener"])
def test_just_the_phrases_given_are_listened_for(run, engine):
    words = ["--say", "all clear", "--say", "painted over", "--engine", engine]
    found = rows(run("hear", *words, "--json", VOICE / "all-clear.ogg", VOICE / "painted-over.ogg"))
    assert [row["phrase"] for row in found] == ["all clear", "painted over"]
    assert {row["engine"] for row in found} == {engine}
