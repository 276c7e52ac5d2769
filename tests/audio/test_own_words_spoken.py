"""Answers in words of one's own, spoken: each file's name is what is said and who says it, a voice
that nothing is tuned on.
"""

from pathlib import Path

import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.coverage import once, readings
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import Polarity
from tests.benchmarks.bench_questions import allowed_at
from tests.read_once import usual_ear

SPOKEN = Path(__file__).parent / "own_words"
AUDIO = Path(__file__).parent / "said"


@pytest.mark.parametrize(("question", "name"), [("sign.here", "ripped.flite-slt")])
def test_a_fault_that_sounds_like_a_pass_is_not_entered_as_one(question: str, name: str) -> None:
    grammar, _ = allowed_at(question)
    found = usual_ear().listen(load_sound(SPOKEN / f"{name}.ogg"), grammar)
    passes = found.phrase is not None and grammar.polarity(found.phrase) is Polarity.PASS
    assert not (passes and found.outcome is Outcome.HEARD), found


@pytest.mark.parametrize("name", ["all-tight", "cannot-check", "closes-fully", "wedged-open"])
def test_a_prompt_has_the_first_listener_write_words_as_a_question_has_them(name: str) -> None:
    prompt = "slams, closes fully, all tight, wedged open, cannot check"
    assert rewritten(name) != name.replace("-", " ")
    assert rewritten(name, prompt) == name.replace("-", " ")


@pytest.mark.parametrize("name", ["slams", "not-damaged", "two-screws-missing", "no-seals"])
def test_a_prompt_does_not_stand_in_for_what_was_said(name: str) -> None:
    prompt = "all clear, seals fine, closes fully, all tight, undamaged, painted over"
    assert rewritten(name, prompt) == name.replace("-", " ")


def rewritten(name: str, prompt: str = "") -> str:
    """What the first listener writes of one of the usual recordings, in small letters."""
    listener = usual_ear().ensemble.listener
    assert listener
    encoded = listener.encode(detect_speech(load_sound(AUDIO / f"{name}.ogg")))
    assert encoded
    return " ".join(readings(once(listener.rewrite(encoded, prompt)))[0])
