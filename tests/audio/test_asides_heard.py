"""In an open check, by voice: another door, what is left, stop, wrong door, not now. Each file's
name is what is said and who says it: flite slt and espeak-ng en-gb-x-rp, which nothing is tuned on.
"""

from pathlib import Path

import pytest

from doorround.domain.values import Command, Word
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.engines.recogniser import Outcome
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.read_once import usual_ear

ASIDES = {
    "another door": Word.ANOTHER_DOOR,
    "not now": Word.ANOTHER_DOOR,
    "what is left": Word.LEFT,
    "stop": Word.PAUSE,
    "wrong door": Word.CANCEL,
}
VOICES = ("flite-slt", "espeak-rp")


@pytest.mark.parametrize("question", ["leaf.here", "hinges.count", "clear"])
@pytest.mark.parametrize("words", ASIDES)
def test_each_is_reached_through_the_recogniser_in_an_open_check(words: str, question: str) -> None:
    grammar, expected = allowed_at(question)
    outcomes = []
    for voice in VOICES:
        path = Path(__file__).parent / "asides" / f"{words.replace(' ', '-')}.{voice}.ogg"
        found = usual_ear().listen(load_sound(path), grammar)
        told = load_understanding().words(found.phrase or "", expected)
        assert told is not None, voice
        assert [each.value for each in told.said] == [Command(word=ASIDES[words])], voice
        outcomes.append(found.outcome)
    assert Outcome.HEARD in outcomes and set(outcomes) <= {Outcome.HEARD, Outcome.UNSURE}
