"""A door that is held open, told by voice where something else was asked: what helps now is heard
now.

File: the question that stands open, two hyphens, the words.
"""

from pathlib import Path

import pytest

from doorround.domain.input_result import Heard, Unsure
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.read_once import usual_ear

CLIPS = sorted((Path(__file__).parent / "held_open").glob("*.ogg"))


@pytest.fixture(scope="module")
def ear():
    return usual_ear()


def test_each_is_there():
    assert len(CLIPS) == 7


@pytest.mark.parametrize("path", CLIPS, ids=lambda path: path.stem)
def test_it_is_a_fault_of_the_doorway(path, ear):
    key, _, _ = path.name.partition("--")
    heard = recognise_turn(ear, load_understanding(), load_sound(path), allowed_at(key)[1])
    assert isinstance(heard, Heard | Unsure), heard
    said = heard.said if isinstance(heard, Heard) else heard.guesses[0].said
    assert [each.question for each in said] == ["clear"]
    assert not said[0].value.sound
