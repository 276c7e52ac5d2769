"""What both listeners learn before anybody speaks: after it the first answer takes no longer than
the next.
"""

import gc
from pathlib import Path

import pytest

from doorround.config.resources import load_checklist, pronunciations
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.session.question_grammar import grammar_now
from doorround.hearing.session.warm_up import warm_up
from doorround.wiring import load_understanding

SAID = Path(__file__).parent / "said"


class OneQuestion:
    """A checklist of one question, with the parts of all."""

    whole = load_checklist()
    question = (whole.ask("hinges.fixings"),)
    ask = whole.ask


def pair():
    return choose_engines(Path("models-not-looked-at")).pipeline


@pytest.fixture(autouse=True)
def let_the_pairs_go():
    yield
    gc.collect()


def at_the_question():
    return grammar_now(
        load_understanding(),
        ExpectedInput(Stage.ASKING, OneQuestion.question[0], parts=OneQuestion.question),
    )


def test_after_it_the_usual_answers_teach_the_listeners_little_more():
    ear = pair()
    cold = pair()
    sound = load_sound(SAID / "all-tight.ogg")
    learnt = {}
    for name, each in (("ahead", ear), ("cold", cold)):
        if name == "ahead":
            assert sum(1 for _ in warm_up(ear, load_understanding(), OneQuestion())) > 10, (
                "in little pieces"
            )
        whisper = each.ensemble.listener._beam_search._priors._kept
        moonshine = each.ensemble.second._priors
        before = len(whisper), len(moonshine)
        assert each.listen(sound, at_the_question()).outcome is Outcome.HEARD
        learnt[name] = len(whisper) - before[0], len(moonshine) - before[1]
    assert learnt["ahead"][0] < learnt["cold"][0] / 2 and learnt["ahead"][1] < learnt["cold"][1] / 2


def test_what_is_heard_after_it_is_what_would_be_heard_without():
    ear = pair()
    cold = pair()
    sound = load_sound(SAID / "all-tight.ogg")
    for _ in ear.ensemble.precompute(at_the_question()):
        pass
    one = ear.listen(sound, at_the_question())
    other = cold.listen(sound, at_the_question())
    assert one.phrase == other.phrase and one.probability == pytest.approx(
        other.probability, abs=0.005
    )


@pytest.mark.sphinx
def test_an_engine_with_a_grammar_of_its_own_learns_nothing():
    assert (
        list(
            RecognitionPipeline(SphinxEngine(pronunciations())).ensemble.precompute(
                at_the_question()
            )
        )
        == []
    )
