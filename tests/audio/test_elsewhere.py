"""What answers another question and sounds like a fault at this one: it enters nothing here.

File: the question, two hyphens, the words. Before such answers were scored beside a fault, "all tight" was entered at
the latch as "all taped", and "fitted" at the sign as "faded".
"""

from pathlib import Path

import pytest

from bot.hearing.audio import load_sound
from bot.hearing.engines import choose_engines
from bot.hearing.recogniser import Outcome
from bot.resources import pronunciations
from bot.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at, voice

CLIPS = sorted((Path(__file__).parent / "elsewhere").glob("*.ogg"))


def of(path):
    key, _, words = path.name.removesuffix(".ogg").partition("--")
    return key, words.replace("-", " ")


@pytest.fixture(scope="module")
def ear():
    return choose_engines(Path("models-not-looked-at"), pronunciations=pronunciations()).ear


def test_each_is_there():
    assert len(CLIPS) == 6


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
        ("latch", "all taped"), ("lock", "screw loose"), ("sign.here", "faded"), ("threshold", "doesn't touch"),
        ("seals", "leaks"),
    ],
)  # fmt: skip
def test_what_it_sounds_like_is_still_heard(key, words, ear):
    heard = ear.listen(voice(words), allowed_at(key)[0])
    assert (heard.phrase, heard.outcome) == (words, Outcome.HEARD)
