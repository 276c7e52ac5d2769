"""The doorround command, run as a person runs it: real files, what it prints, how it leaves.
That it starts as a process of its own: tests/unit/test_program.py.
"""

import json
import os
from pathlib import Path

import pytest

from tests.program_here import run_here

DEMO = Path(__file__).parents[2] / "demo_conversations"
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
        (("hear", "--text", "yes"), "Say what to recognise"),
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
        "right and readable",
        "undamaged and firm",
        "no damage",
        "3",
        "8",
        "firm and working",
        "painted over",
        "3",
        "marked and tight",
    ]
    said = run(
        "chat",
        "--door",
        "R3",
        "--person",
        "Robin",
        typed="\n".join([*answers, "undamaged and firm", "no damage", "finish"]),
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
    assert "Resuming the check of door 6 where it stood." in run("chat", "--door", "6")


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


def test_a_model_that_is_refused_stands_in_the_list_before_the_reason(tmp_path):
    unvouched = tmp_path / "models" / "whisper-own"
    unvouched.mkdir(parents=True)
    for name in ("config.json", "model.bin", "tokenizer.json", "vocabulary.txt"):
        (unvouched / name).write_text("not the real thing", encoding="utf-8")
    home = {**os.environ, "DOORROUND_MODELS": str(unvouched.parent)}
    done = run_here(["models", "list"], home)
    assert done.returncode == 2
    assert {"pocketsphinx", "listener", "moonshine"} <= set(done.stdout.split())
    assert "doorround models trust whisper-own" in done.stderr


def test_a_model_that_cannot_be_fetched_says_so(run):
    said = run("models", "get", "no-such-model", fails=True)
    assert "no-such-model could not be fetched" in said
    assert "unpack it in" in said


def test_a_visit_is_played_and_a_wrong_one_fails(run, tmp_path):
    assert "1 of 1 visits went as written." in run("play", DEMO / "cupboard-kept-locked.talk")
    wrong = tmp_path / "wrong.talk"
    text = (DEMO / "cupboard-kept-locked.talk").read_text(encoding="utf-8")
    wrong.write_text(text.replace("How many hinges", "How few hinges"), encoding="utf-8")
    assert "written “How few hinges?”" in run("play", wrong, fails=True)
