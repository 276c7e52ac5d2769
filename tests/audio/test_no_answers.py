"""What is cut short, denies in words that no answer has, or answers another question: none of it is
ever an answer.

File: the question, two hyphens, the words. What answers another question sounds like a fault at
this one: "all tight" was entered at the latch as "all taped", "fitted" at the sign as "faded".
"""

from pathlib import Path

import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.engines.recogniser import Outcome
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at, voice
from tests.read_once import usual_ear

CLIPS = sorted(
    path
    for folder in ("unfinished", "elsewhere")
    for path in (Path(__file__).parent / folder).glob("*.ogg")
)


def of(path):
    key, _, words = path.name.removesuffix(".ogg").partition("--")
    return key, words.replace("-", " ")


@pytest.fixture(scope="module")
def ear():
    return usual_ear()


def test_each_is_there():
    assert len(CLIPS) == 12 + 6


@pytest.mark.parametrize("path", CLIPS, ids=lambda path: path.stem)
def test_typed_it_is_no_answer(path):
    key, words = of(path)
    assert load_understanding().words(words, allowed_at(key)[1]) is None


@pytest.mark.parametrize("path", CLIPS, ids=lambda path: path.stem)
def test_spoken_it_enters_nothing(path, ear):
    heard = ear.listen(load_sound(path), allowed_at(of(path)[0])[0])
    assert heard.outcome is not Outcome.HEARD, heard.phrase


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("gaps.meeting", "meeting edges three four five"),
        ("hinges.fixings", "marked and tight"),
        ("frame.here", "damaged near the hinge"),
        ("label", "both labels there"),
        ("register.material", "it's steel"),
    ],
)
def test_said_to_its_end_it_is_heard(key, words, ear):
    assert ear.listen(voice(words), allowed_at(key)[0]).phrase == words


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("latch", "all taped"),
        ("lock", "screw loose"),
        ("sign.here", "faded"),
        ("threshold", "doesn't touch"),
        ("seals", "leaks"),
    ],
)
def test_a_fault_that_sounds_like_another_answer_is_entered_where_it_is_said(key, words, ear):
    heard = ear.listen(voice(words), allowed_at(key)[0])
    assert (heard.phrase, heard.outcome) == (words, Outcome.HEARD)
