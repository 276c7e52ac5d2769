"""What of a phrase heard is entered, read back or refused: other voices, noise, words around it."""

from dataclasses import replace

import numpy as np
import pytest
from scripted_engine import AUDIO, YES_NO, Scripted, scored

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.hearing.audio.vad import FRAME, DetectedSpeech
from doorround.hearing.decision.accept_gate import LOUD, doubt_of, phrase_within
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.tuning import NEAR
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.phrase_list import grammar_of_phrases


def speech_of(*probabilities):
    """Speech this probable in each 32 ms frame, in a recording of nothing."""
    frames = np.array(probabilities, np.float32)
    return DetectedSpeech(sound_of(np.zeros(len(frames) * FRAME, np.float32)), frames)


SPEAKS = speech_of(0.0, 0.1, *[0.9] * 20)
SPEAKS_TWICE = speech_of(0.0, 0.1, *[0.9] * 17, *[0.0] * 20, *[0.9] * 3)
"""As long, with a pause."""


def test_a_pass_needs_a_second_and_no_other_voices():
    assert doubt_of(scored("yes"), YES_NO, SPEAKS) is None
    assert doubt_of(scored("yes", seconded=False), YES_NO, SPEAKS) == "the engines differ"
    assert doubt_of(scored("yes", margin=-0.1), YES_NO, SPEAKS) == "something else fits better"
    assert (
        doubt_of(scored("yes", margin=NEAR - 0.1), YES_NO, SPEAKS)
        == "something else fits nearly as well"
    )
    assert doubt_of(scored("yes", margin=NEAR), YES_NO, SPEAKS) is None
    assert doubt_of(scored("yes", depth=15.0, murmur=0.7), YES_NO, SPEAKS) == "other voices"
    assert doubt_of(scored("yes"), YES_NO, SPEAKS_TWICE) == "more was said"


@pytest.mark.parametrize(
    ("written", "doubt"),
    [
        ("Not split.", None),
        ("Hey, not split.", None),
        ("I reckon that, nope.", "more was said"),
        ("not split, sometimes", "more was said"),
        ("Not split but", "more was said"),
        ("not flit never", "more was said"),
        ("never split", None),
        ("", None),
    ],
)
def test_a_pass_that_is_written_with_what_takes_it_back_is_read_back(written, doubt):
    grammar = grammar_of_phrases(["not split", "split"], {"not split": Polarity.PASS})
    heard = replace(scored("not split"), transcript=written)
    assert doubt_of(heard, grammar, SPEAKS) == doubt


@pytest.mark.parametrize(
    ("phrase", "apart", "doubt"),
    [
        # "ripped" was heard as "right" and written as "Great"
        ("right", 1.23, "the second listener would write something else"),
        ("right", 0.9, None),
        ("right and readable", 1.23, None),
        # a longer word has more to tell it by
        ("undamaged", 1.23, None),
    ],
)
def test_a_pass_of_one_syllable_that_is_written_as_another_is_read_back(phrase, apart, doubt):
    passes = dict.fromkeys(("right", "right and readable", "undamaged"), Polarity.PASS)
    grammar = grammar_of_phrases([*passes, "ripped"], passes)
    assert doubt_of(scored(phrase, apart=apart), grammar, SPEAKS) == doubt


@pytest.mark.parametrize("phrase", ["yes", "no"])
def test_a_bare_word_with_a_syllable_and_time_too_many_goes_on(phrase):
    assert doubt_of(scored(phrase, nuclei=1.0, overtime=0.4), YES_NO, SPEAKS) == "more was said"
    assert doubt_of(scored(phrase, nuclei=0.0, overtime=0.4), YES_NO, SPEAKS) is None
    assert doubt_of(scored(phrase, nuclei=1.0, overtime=0.2), YES_NO, SPEAKS) is None


@pytest.mark.parametrize("phrase", ["no", "three"])
def test_a_fault_and_a_number_need_no_second_listener_and_no_quiet(phrase):
    assert doubt_of(scored(phrase, seconded=False, depth=15.0, murmur=0.7), YES_NO, SPEAKS) is None


@pytest.mark.parametrize("phrase", ["yes", "no", "three"])
def test_an_answer_that_fits_worse_than_what_is_none_is_read_back(phrase):
    assert doubt_of(scored(phrase, unanswered=0.1), YES_NO, SPEAKS) is None
    assert doubt_of(scored(phrase, unanswered=-0.1), YES_NO, SPEAKS) == "something else fits better"


def test_only_what_could_pass_or_fail_a_part_has_an_opposite():
    ear = RecognitionPipeline(Scripted())
    near = {"loop": 0.0, "gap": 100.0, "log_frames": 4.0, "turned": 0.0}
    assert ear.probabilities(scored("yes", **near), YES_NO)[1] > 0
    assert ear.probabilities(scored("three", **near), YES_NO)[1] == 0


def test_a_figure_that_passes_something_is_read_back_in_noise_and_a_fault_is_not():
    ways = {
        "four millimetres": Polarity.PASS,
        "all clear": Polarity.PASS,
        "two screws missing": Polarity.DEFECT,
    }
    grammar = grammar_of_phrases(ways, ways)
    for phrase, doubt in (
        ("four millimetres", "a figure in noise"),
        ("all clear", None),
        ("two screws missing", None),
    ):
        assert doubt_of(scored(phrase, depth=LOUD - 1), grammar, SPEAKS) == doubt
        assert doubt_of(scored(phrase, depth=LOUD + 1), grammar, SPEAKS) is None


def test_an_answer_inside_long_talk_is_not_trusted():
    voice = load_sound(AUDIO / "nothing" / "talk-shall-we-have-the.ogg").samples
    ends = round(0.3 * RATE)
    talk = sound_of(np.tile(voice[ends:-ends], 8))
    assert talk.seconds > 13
    engine = Scripted("yes")
    assert RecognitionPipeline(engine).listen(talk, YES_NO).outcome is Outcome.OFF_GRAMMAR
    assert engine.asked == 0


def test_a_pass_with_more_said_around_it_is_only_a_guess():
    breath = load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg")
    assert RecognitionPipeline(Scripted("yes")).listen(breath, YES_NO).outcome is Outcome.UNSURE
    talk = load_sound(AUDIO / "nothing" / "talk-shall-we-have-the.ogg")
    assert RecognitionPipeline(Scripted("yes")).listen(talk, YES_NO).outcome is Outcome.UNSURE
    assert (
        RecognitionPipeline(Scripted("yes"))
        .listen(load_sound(AUDIO / "said" / "yes.ogg"), YES_NO)
        .outcome
        is Outcome.HEARD
    )


@pytest.mark.parametrize(
    ("covered", "said", "named"),
    [
        (0.1, 0.61, "closes fully"),
        # words that were probably not said are not mentioned to the caretaker
        (0.1, 0.59, None),
        (0.89, 0.9, "closes fully"),
        # all that was said: nothing further to report
        (0.91, 0.9, None),
    ],
)
def test_of_a_refused_phrase_only_one_that_was_likely_said_is_named(
    covered: float, said: float, named: str | None
) -> None:
    assert phrase_within("closes fully", covered, said) == named


@pytest.mark.parametrize(
    ("evidence", "doubt"),
    [
        ({"depth": 15.0, "strange": 2.1}, "the second listener would write something else"),
        ({"depth": 15.0, "strange": 2.0}, None),
        ({"depth": 15.0, "extra": 8.0}, "more was said"),
        ({"depth": 15.0, "extra": 7.0}, None),
        ({"depth": 21.0, "strange": 1.95}, "the second listener would write something else"),
        ({"depth": 21.0, "strange": 1.85}, None),
        # in quiet what seems to be more is of how somebody speaks
        ({"depth": 21.0, "extra": 20.0}, None),
    ],
)
def test_a_fault_is_read_back_where_it_may_be_of_something_else_the_more_so_in_noise(
    evidence: dict[str, float], doubt: str | None
) -> None:
    grammar = grammar_of_phrases(["leaf split"], {"leaf split": Polarity.DEFECT})
    assert doubt_of(scored("leaf split", **evidence), grammar, SPEAKS) == doubt


def test_a_fault_in_noise_of_a_part_that_is_not_asked_about_is_read_back() -> None:
    plain = grammar_of_phrases(["leaf split"], {"leaf split": Polarity.DEFECT})
    elsewhere = replace(plain, read=lambda phrase: replace(plain.read(phrase), aside=True))
    noisy = scored("leaf split", depth=15.0)
    assert doubt_of(noisy, plain, SPEAKS) is None
    assert doubt_of(noisy, elsewhere, SPEAKS) == "of another part, in noise"
    assert doubt_of(scored("leaf split", depth=21.0), elsewhere, SPEAKS) is None
