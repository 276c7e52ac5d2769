"""Answers in words of one's own, spoken: each file's name is what is said and who says it, a voice
that nothing is tuned on.
"""

from pathlib import Path

import pytest

from doorround.channels.talk.second_reading import understood_alone
from doorround.config.resources import load_checklist
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.coverage import once, readings
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.understanding.understand import Understanding
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.benchmarks.bench_understanding import expected_at
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


@pytest.mark.parametrize(
    "path", sorted((SPOKEN.parent / "nothing").glob("*.ogg")), ids=lambda path: path.stem
)
def test_talk_that_is_no_answer_is_not_read_back_for_what_a_prompt_made_of_it(path: Path) -> None:
    expected = expected_at("closer.full")
    heard = recognise_turn(usual_ear(), load_understanding(), load_sound(path), expected)
    assert heard.kind in ("off_grammar", "silence")
    if heard.kind == "off_grammar":
        second = Understanding(load_checklist())
        found = understood_alone(heard, second.understand, expected)
        assert found is None or found.kind in ("offered", "nothing"), heard
