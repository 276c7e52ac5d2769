"""Real recordings: each file's name is what is said in it; from the files in nothing/ nothing may
come.
"""

from functools import cache
from pathlib import Path
from time import process_time

import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from tests.read_once import usual_ear
from tests.whole import some_of

AUDIO = Path(__file__).parent
TOP = AUDIO.parents[1]
SAID = sorted((AUDIO / "said").glob("*.ogg"))
NOTHING = sorted((AUDIO / "nothing").glob("*.ogg"))
PASSES = {
    "yes",
    "seals fine",
    "closes fully",
    "all tight",
    "not damaged",
    "all clear",
    "finish check",
}


def words(path):
    return path.stem.replace("-", " ")


PHRASES = tuple(words(path) for path in SAID)
LIST = grammar_of_phrases(
    PHRASES,
    lambda phrase: (
        Polarity.PASS
        if phrase in PASSES
        else Polarity.DEFECT
        if phrase != "three"
        else Polarity.NEITHER
    ),
)


@pytest.fixture(scope="module", params=["auto", "pocketsphinx"])
def ear(request):
    if request.param == "auto":
        return usual_ear()
    pronunciations = TOP / "grammar" / "pronunciations.dict"
    return choose_engines(TOP / "models", request.param, pronunciations=pronunciations).pipeline


@cache
def heard_by(ear, path):
    """What is heard of each recording: once, for several tests."""
    return ear.listen(load_sound(path), LIST)


@pytest.fixture(scope="module", autouse=True)
def let_them_go():
    yield
    heard_by.cache_clear()


@pytest.mark.parametrize("path", SAID, ids=words)
def test_the_words_in_the_name_are_heard(ear, path):
    assert heard_by(ear, path).phrase == words(path)


@pytest.mark.parametrize("path", NOTHING, ids=words)
def test_nothing_comes_of_what_is_no_answer(ear, path):
    heard = ear.listen(load_sound(path), LIST)
    assert heard.outcome is not Outcome.HEARD


def test_with_the_listener_all_are_sure_enough_to_be_entered():
    ear = usual_ear()
    outcomes = {words(path): heard_by(ear, path).outcome for path in SAID}
    assert {phrase for phrase, outcome in outcomes.items() if outcome is not Outcome.HEARD} == set()


def test_a_list_without_what_was_said_passes_nothing():
    ear = usual_ear()
    for path in SAID:
        others = grammar_of_phrases(
            [phrase for phrase in PHRASES if phrase != words(path)], LIST.polarity
        )
        heard = ear.listen(load_sound(path), others)
        assert not (
            heard.outcome is Outcome.HEARD and LIST.polarity(str(heard.phrase)) is Polarity.PASS
        ), words(path)


def test_three_answers_in_one_breath_are_heard_one_by_one():
    ear = usual_ear()
    pieces = ear.listen_pieces(
        load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg"), lambda _phrase: LIST
    )
    assert [piece.recognition.phrase for piece in pieces] == ["seals fine", "three", "slams"]


def test_listening_is_quicker_than_speaking():
    ear = usual_ear()
    sounds = [load_sound(path) for path in some_of(SAID, 3)]
    ear.listen(sounds[0], LIST)  # the grammar is compiled once a question
    began = process_time()
    heard = [ear.listen(sound, LIST) for sound in sounds]
    # of the processor, so that it does not hang on how busy the machine is: usually 0.05
    assert process_time() - began < sum(each.audio_seconds for each in heard)
