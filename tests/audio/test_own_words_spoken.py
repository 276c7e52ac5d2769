"""Answers in words of one's own, spoken: each file's name is what is said and who says it, a voice
that nothing is tuned on.
"""

from pathlib import Path

import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import Polarity
from tests.benchmarks.bench_questions import allowed_at
from tests.read_once import usual_ear

SPOKEN = Path(__file__).parent / "own_words"


@pytest.mark.parametrize(("question", "name"), [("sign.here", "ripped.flite-slt")])
def test_a_fault_that_sounds_like_a_pass_is_not_entered_as_one(question: str, name: str) -> None:
    grammar, _ = allowed_at(question)
    found = usual_ear().listen(load_sound(SPOKEN / f"{name}.ogg"), grammar)
    passes = found.phrase is not None and grammar.polarity(found.phrase) is Polarity.PASS
    assert not (passes and found.outcome is Outcome.HEARD), found
