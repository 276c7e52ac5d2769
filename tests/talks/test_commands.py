"""The doorround command, run as a person runs it: real files, what it prints, how it leaves.
That it starts as a process of its own: tests/unit/test_program.py.
"""

import json
import os
from pathlib import Path

import pytest

from tests.program_here import run_here

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
# the port that discards: nothing is fetched, and it fails at once
NOWHERE = "http://127.0.0.1:9"


@pytest.fixture
def run(tmp_path):
    (tmp_path / "home").mkdir(mode=0o700, exist_ok=True)

    def run(*words, typed="", fails=False):
        environment = {
            **os.environ,
            "DOORROUND_HOME": str(tmp_path / "home"),
            "DOORROUND_ZONE": "Europe/London",
        }
        environment |= dict.fromkeys(("http_proxy", "https_proxy"), NOWHERE)
        done = run_here([*map(str, words)], environment, typed)
        assert bool(done.returncode) is fails, done.stderr
        assert "Traceback" not in done.stderr
        return done.stderr if fails else done.stdout

    return run


def rows(text):
    return [json.loads(line) for line in text.splitlines()]


def test_a_door_is_added_listed_and_shown(run):
    assert (
        run("doors", "add", "12", "--set", "rating=FD30S", "--set", "place=by the lift")
        == "Door 12 added.\n"
    )
    [door] = rows(run("doors", "list", "--json"))
    assert (door["number"], door["rating"]["minutes"], door["rating"]["smoke"]) == ("12", 30, True)
    assert run("doors", "list") == "12  FD30S  ?  by the lift\n"
    assert "rating           FD30S" in run("doors", "show", "12")
    assert "glazing          not known" in run("doors", "show", "12")


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (
            ("doors", "add", "12", "--set", "rating=FD3O"),
            '"FD3O" is not a fire rating. Use FD30, FD30S',
        ),
        (("doors", "add", "12", "--set", "rating"), "write a field as name=value"),
        (("doors", "add", "12", "--set", "colour=red"), "colour"),
        (("doors", "show", "99"), "There is no door 99"),
        (("chat", "--door", "99"), "There is no door 99"),
        (("hear", "--text", "yes"), "Say what to listen for"),
        (("hear", "--say", "yes"), "Give recordings"),
        (("hear", "--question", "roof", "--text", "fine"), 'There is no question "roof"'),
        (("hear", "--say", "yes", "--engine", "magic", "x.ogg"), "magic"),
        (
            ("questions", "--checklist", "yearly"),
            'There is no checklist "yearly". Use one of: routine',
        ),
        (("play", "gone.talk"), "gone.talk"),
    ],
)
def test_bad_input_gets_one_line_that_says_what_to_do(run, words, complaint):
    said = run(*words, fails=True)
    assert complaint in said
    assert said.count("\n") <= 1


def test_the_same_door_twice_is_refused(run):
    run("doors", "add", "12")
    assert "12" in run("doors", "add", "12", fails=True)


def test_a_chat_is_typed_and_its_logbook_shown(run):
    fields = [
        "use=cupboard",
        "rating=FD30",
        "leaves=one",
        "material=timber",
        "glazing=none",
        "seals=plain intumescent",
        "seals_in=frame",
        "closer=none, kept locked",
        "hold_open=none",
        "latch=lock",
        "threshold_seal=none",
        "leaf_width_mm=700",
        "leaf_height_mm=1900",
        "leaf_mass_kg=30",
        "hinges=3",
    ]
    run("doors", "add", "R3", *[word for field in fields for word in ("--set", field)])
    answers = [
        "it was locked",
        "all clear",
        "right",
        "undamaged",
        "no damage",
        "3",
        "8",
        "firm and working",
        "painted over",
        "3",
        "all tight",
    ]
    said = run(
        "chat",
        "--door",
        "R3",
        "--person",
        "Robin",
        typed="\n".join([*answers, "undamaged", "no damage", "finish"]),
    )
    assert "bot: Seals: painted over." in said
    assert "bot: Signed. Door R3: fit with 1 defect." in said
    shown = run("logbook", "show", "--door", "R3")
    assert "painted over" in shown
    assert "entries, unbroken." in run("logbook", "verify")
    kinds = [row["kind"] for row in rows(run("logbook", "show", "--json"))]
    assert kinds[-1] == "signed"
    assert "signed, by Robin" in run("doors", "show", "R3")


def test_a_chat_without_a_door_asks_which_and_goes_on_to_the_next(run):
    for number, place in (("2.14", "stair A"), ("2.40", "stair B")):
        run("doors", "add", number, "--set", f"place={place}", "--set", "floor=second floor")
    lines = ["stair c", "stiar a", "yes", "finish", "finish", "next door", "yes", "pause"]
    said = run("chat", "--person", "Robin", typed="\n".join(lines))
    asked = [
        line
        for line in said.splitlines()
        if line.startswith(("bot: Door", "bot: Which", "bot: I don't know a door"))
    ]
    assert asked == [
        "bot: Which door are you at? Say its number, or where it is.",
        "bot: I don't know a door called “stair c”. Which door are you at? Say its number, or where"
        " it is.",
        "bot: Door 2.14: second floor, stair A. Right?",
        "bot: Door 2.14: second floor, stair A.",
        (
            "bot: Door 2.14: not shown to be fit, 25 not checked. Say finish check to sign, or"
            " carry on to answer the rest."
        ),
        "bot: Which door are you at? Say its number, or where it is.",
        "bot: Door 2.40: second floor, stair B. Right?",
        "bot: Door 2.40: second floor, stair B.",
    ]


def test_a_chat_at_a_door_says_that_the_check_of_another_is_open(run):
    for number in ("5", "6"):
        run("doors", "add", number)
    run("chat", "--door", "5", typed="")
    said = run("chat", "--door", "6", typed="another door\n6\n")
    first, then = said.split("Which door are you at?")
    assert "Not door 6 yet: the check of door 5 is not finished." in first
    assert "bot: Door 6." in then
    assert "There is no door 99" in run("chat", "--door", "99", fails=True)
    assert "Taking up the check of door 6 where it stood." in run("chat", "--door", "6")


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
        "goes with a bang\n\nshuts lovely\nkaput innit\nfault: hums\n", encoding="utf-8"
    )
    listen = ("hear", "--question", "closer.full", "--json", "--texts")
    bang, lovely, kaput, hums = rows(run(*listen, said))
    assert hums["meaning"] == [{"question": "closer.full", "kind": "own_words", "text": "hums"}]
    assert (bang["outcome"], bang["read_back"]) == ("heard", False)
    assert bang["meaning"][0]["defects"][0]["name"] == "slams"
    assert (lovely["outcome"], lovely["read_back"]) == ("unsure", True)
    assert lovely["meaning"][0]["defects"] == []
    assert (kaput["outcome"], kaput["meaning"]) == ("off_grammar", None)
    first, *_, own = kaput["offered"]
    assert first[0]["defects"][0]["name"] == "broken"
    assert own == [{"question": "closer.full", "kind": "own_words", "text": "kaput innit"}]
    assert "cannot be read" in run(*listen, tmp_path / "none.txt", fails=True)


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


def test_questions_are_listed_with_their_phrases(run):
    found = rows(run("questions", "--json"))
    assert {"key", "component", "kind", "examples"} <= set(found[0])
    assert {row["kind"] for row in found} == {"choice", "condition", "count", "measure", "yes_no"}
    assert all(row["examples"] for row in found)
    assert "seals" in run("questions")


def test_models_tell_what_is_in_use(run):
    said = run("models", "list")
    assert "pocketsphinx" in said
    assert "listener" in said


def test_a_model_that_cannot_be_fetched_says_so(run):
    said = run("models", "get", "no-such-model", fails=True)
    assert "no-such-model could not be fetched" in said
    assert "unpack it in" in said


def test_a_visit_is_played_and_a_wrong_one_fails(run, tmp_path):
    assert "1 of 1 visits went as written." in run("play", DEMO / "cupboard-kept-locked.talk")
    wrong = tmp_path / "wrong.talk"
    text = (DEMO / "cupboard-kept-locked.talk").read_text(encoding="utf-8")
    wrong.write_text(text.replace("How many hinges", "How few hinges"), encoding="utf-8")
    assert "written “How few hinges on each leaf?”" in run("play", wrong, fails=True)
