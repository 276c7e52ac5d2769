"""An organisation's own words, from words.toml to what they mean: added, said as they are spelled,
heard.

The recordings are of a synthesiser, which reads the letters in its own way
(scripts/make_test_voice.py).
"""

import shutil
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.turn import start_check, take_turn
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.hearing.adaptation.pronunciation_check import synthesiser
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.wiring import EngineLoader, load_understanding
from tests.whole import some_of

AUDIO = Path(__file__).parent
CHECKLIST = load_checklist()
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
ADDED = (
    ("knackered", "broken", "closer.full"),
    ("manky", "damaged", "leaf.here"),
    ("shipshape", "all good", "hinges.fixings"),
    ("tickety boo", "fine", "seals"),
)
OWN = sorted((AUDIO / "own").glob("*.ogg"))
FAULTS = {"knackered": "broken", "it's knackered": "broken", "manky": "damaged"}
GUESSED = ("knackered", "manky", "tickety")


def of(path):
    key, _, words = path.name.removesuffix(".ogg").partition("--")
    return key, words.replace("-", " ")


def run(*words):
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == 0, done.output
    return " ".join(done.output.split())


def moment(key):
    others = tuple(each for each in CHECKLIST.question if each.key != key)
    return ExpectedInput(Stage.ASKING, CHECKLIST.ask(key), others, parts=CHECKLIST.question)


def hear(engine="auto"):
    """What is heard of every recording, with the words as they stand."""
    ear = EngineLoader(read_settings(), engine)()
    understanding = load_understanding()
    return {
        of(path)[1]: recognise_turn(ear, understanding, load_sound(path), moment(of(path)[0]))
        for path in OWN
    }


def answer(heard):
    """The faults heard, none for a pass, else the kind of what was said.

    None where nothing was heard, sure or not.
    """
    best = heard if heard.kind == "heard" else heard.guesses[0] if heard.kind == "unsure" else None
    if best is None:
        return None
    value = best.said[0].value
    return [each.name for each in value.defects] if value.kind == "condition" else [value.kind]


def passed(heard):
    """Phrases heard for sure that tell neither of a fault nor that something was not seen."""
    return [
        said.phrase
        for said in (heard.said if heard.kind == "heard" else ())
        if said.value.kind != "cannot_check"
        and not (said.value.kind == "condition" and said.value.defects)
    ]


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture(scope="module")
def with_words(tmp_path_factory):
    """A home whose words.toml has all that are added."""
    home = tmp_path_factory.mktemp("own") / "home"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DOORROUND_HOME", str(home))
        for phrase, means, question in ADDED:
            run("grammar", "words", "add", phrase, "--means", means, "--question", question)
    return home


@pytest.fixture
def added(home, with_words):
    shutil.copytree(with_words, home)
    return home


@pytest.fixture(scope="module")
def heard_with_words(with_words):
    """What each engine hears of every recording once the words are added, heard once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DOORROUND_HOME", str(with_words))
        yield cache(hear)


@pytest.fixture(scope="module")
def with_words_learnt(with_words):
    """Engines and understanding that know them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DOORROUND_HOME", str(with_words))
        return EngineLoader(read_settings())(), load_understanding()


@pytest.mark.parametrize("engine", ["auto", "pocketsphinx"])
def test_before_they_are_added_no_engine_passes_anything_for_them(home, engine):
    everything = hear(engine)
    assert len(everything) == len(OWN) > 0
    assert {words: passed(heard) for words, heard in everything.items() if passed(heard)} == {}


@pytest.mark.parametrize("engine", ["auto", "pocketsphinx"])
def test_once_added_each_is_heard_for_what_it_means(heard_with_words, engine):
    assert {words: answer(heard) for words, heard in heard_with_words(engine).items()} == {
        of(path)[1]: [FAULTS[of(path)[1]]] if of(path)[1] in FAULTS else [] for path in OWN
    }


def test_with_the_listener_each_is_sure(heard_with_words):
    found = heard_with_words("auto")
    assert {words for words, heard in found.items() if heard.kind != "heard"} == set()


@pytest.mark.skipif(synthesiser() is None, reason="no synthesiser is installed")
@pytest.mark.parametrize("word", GUESSED)
def test_how_it_is_said_is_guessed_shown_spoken_and_heard(added, word):
    shown = run("grammar", "say", word)
    assert "guessed from its letters" in shown and "Not confirmed." in shown
    assert shown.count(": right.") == 2, shown


def test_a_guess_is_read_back_until_somebody_confirmed_it(added):
    door = Door.model_validate({"number": "12", "closer": "overhead", "hinges": 3})
    check = start_check("c1", door, "Robin", CHECKLIST, NOON).check.model_copy(
        update={"open": "closer.full"}
    )
    sound = load_sound(AUDIO / "own" / "closer.full--knackered.ogg")

    def turn():
        return take_turn(
            check,
            recognise_turn(
                EngineLoader(read_settings())(), load_understanding(), sound, expected_input(check)
            ),
            NOON,
        )

    asked = turn()
    assert asked.say[-1].text == "Closer from fully open: broken. Right?"
    assert asked.check.answers == {}
    run("grammar", "say", "knackered", "--confirm")
    assert "closer.full" in turn().check.answers


@pytest.mark.parametrize(
    ("nth", "path"),
    list(enumerate(sorted((AUDIO / "nothing").glob("*.ogg")))),
    ids=lambda given: getattr(given, "stem", ""),
)
def test_talk_and_noise_become_none_of_them(with_words_learnt, nth, path):
    ear, understanding = with_words_learnt
    # at each third question, by turns
    for _phrase, _means, key in some_of(ADDED, 3, nth):
        heard = recognise_turn(ear, understanding, load_sound(path), moment(key))
        assert heard.kind != "heard"
