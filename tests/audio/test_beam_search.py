"""The listener's own decoder against the library's, on the same weights; and its search against
scoring everything.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.noise import FAINT_SECONDS, faint
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.engines.beam_search import AGAINST, MAX_LETTERS, PENALTY
from doorround.hearing.engines.token_trie import TokenTrie
from doorround.hearing.engines.tuning import PRIOR_SHARE, Tuning
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.model_files.weights import find_weights
from tests.read_once import usual_ear

SAID = Path(__file__).parent / "said"
PHRASES = [
    "yes",
    "all tight",
    "closes fully",
    "doesn't touch the floor",
    "three",
    "three and a half",
    "thirty",
]


@pytest.fixture(scope="module")
def listener():
    return usual_ear().ensemble.listener


@pytest.fixture(scope="module")
def yes(listener):
    return listener.encode(load_sound(SAID / "yes.ogg"))


def as_the_library_has_it(listener, encoded, phrase):
    """Sum of the logarithms of the token probabilities that CTranslate2's own alignment gives, full
    stop and all.
    """
    states = listener._storage.from_array(encoded.states)
    tokens = listener._tokens.encode(
        f" {phrase[0].upper()}{phrase[1:]}.", add_special_tokens=False
    ).ids
    (aligned,) = listener._model.align(states, listener._start, [tokens], encoded.frames)
    return float(np.log(aligned.text_token_probs).sum()), len(tokens)


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_phrase_weighs_what_the_library_says(listener, yes, phrase):
    (score,) = listener.scores(yes, [phrase])
    whole, count = as_the_library_has_it(listener, yes, phrase)
    # 8-bit weights there, and all tokens to be held against, make some hundredths of a nat a token
    assert score.raw * count == pytest.approx(whole, abs=0.35 * count)


def test_the_total_is_less_the_prior_and_the_penalty(listener, yes):
    (score,) = listener.scores(yes, ["all tight"])
    noise = listener._encode(faint(), FAINT_SECONDS)
    (prior,) = listener.scores(noise, ["all tight"])
    count = 3
    against = AGAINST * score.surprise * count
    expected = score.raw * count - PRIOR_SHARE * prior.raw * count - PENALTY * count - against
    assert score.total == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    "words", ["all tight", "does not close", "two screws missing", "wedged open", "say again"]
)
def test_a_phrase_is_ended_where_it_ends_and_not_before(listener, words):
    encoded = listener.encode(load_sound(SAID / f"{words.replace(' ', '-')}.ogg"))
    whole, begun = (listener.ended(encoded, said) for said in (words, words.split()[0]))
    assert begun < whole <= 0


def test_following_a_grammar_finds_what_scoring_every_phrase_finds(listener, yes):
    followed = listener.search(yes, grammar_of_phrases(PHRASES))
    scored = listener.scores(yes, PHRASES)
    assert followed[0].phrase == scored[0].phrase == "yes"
    assert followed[0].total == pytest.approx(scored[0].total, abs=0.01)
    assert {score.phrase for score in followed} <= set(PHRASES)


def test_a_recording_fits_alike_whatever_the_listener_learnt_before(listener, yes):
    """What Whisper would rather write is learnt on the way, each beginning from the one before it
    or anew.
    """
    phrases = [*PHRASES, "three and a quarter", "all tight and firm", "yes all tight"]
    fresh = WhisperEngine(find_weights(Path("models-not-looked-at")))
    cold = fresh.encode(load_sound(SAID / "yes.ogg"))
    at_once = {score.phrase: score.total for score in fresh.scores(cold, phrases)}
    again = {score.phrase: score.total for score in fresh.scores(cold, phrases)}
    one_by_one = {}
    for phrase in reversed(phrases):
        other = listener.encode(load_sound(SAID / "yes.ogg"))
        one_by_one |= {score.phrase: score.total for score in listener.scores(other, [phrase])}
    assert at_once == pytest.approx(again, abs=0.005)  # kept in half precision
    assert at_once == pytest.approx(one_by_one, abs=0.005)


def test_what_was_reached_is_gone_on_from_within_a_recording_only(listener):
    learnt = []
    fresh = WhisperEngine(find_weights(Path("models-not-looked-at")))
    step = fresh._decoder.step
    fresh._decoder.step = lambda sound, here, tokens: (
        learnt.append(len(tokens)) or step(sound, here, tokens)
    )
    encoded = fresh.encode(load_sound(SAID / "yes.ogg"))
    learnt.clear()
    fresh.scores(encoded, ["all tight", "three and a half"])
    first = len(learnt)
    fresh.scores(encoded, ["all tight", "three and a half"])
    assert len(learnt) == first, "all of it was reached"
    fresh.ended(encoded, "all tight")
    assert learnt[first:] == [1], "the full stop alone is new"
    again = fresh.encode(load_sound(SAID / "yes.ogg"))
    learnt.clear()
    fresh.scores(again, ["all tight", "three and a half"])
    # the sound's own steps alone: each step of the noise was taken once, beside one of the sound
    assert first == 2 * len(learnt)


def test_where_many_sound_alike_the_search_is_wide_at_once(listener, monkeypatch):
    """Door 100.03 was begun as 10.03: with a narrow search nothing else was near."""
    monkeypatch.setattr("doorround.hearing.engines.beam_search.BEAM", 1)
    encoded = listener.encode(load_sound(SAID / "three.ogg"))
    numbers = grammar_of_phrases(["three", "thirty", "three and a half", "thirteen"])
    narrow = listener.search(encoded, numbers)
    wide = listener.search(encoded, replace(numbers, alike=True))
    assert narrow[0].phrase == wide[0].phrase == "three"
    assert len(narrow) < len(wide)


def test_a_grammar_with_a_loop_ends(listener, yes):
    loop = Automaton(((0, 1, "yes"), (1, 0, "")), frozenset({1}))
    found = listener._beam_search.search(yes.reached, TokenTrie(loop, listener._spell), yes.spoken)
    most = MAX_LETTERS[0] + MAX_LETTERS[1] * yes.spoken
    assert found and max(3 * (len(each.tokens) - 1) for each in found) <= most


def test_a_phrase_without_a_word_is_none(listener, yes):
    """What may be said at a door begins with words that may be left out, and so may end before it
    began.
    """
    loop = Automaton(((0, 1, "yes"), (1, 0, "")), frozenset({0, 1}))
    found = listener._beam_search.search(yes.reached, TokenTrie(loop, listener._spell), yes.spoken)
    assert found and all(len(each.tokens) > 1 for each in found)


def test_nothing_is_heard_that_is_longer_than_can_be_said_in_the_time(listener):
    said = listener.encode(load_sound(SAID / "yes.ogg"))
    many = grammar_of_phrases(["yes", "yes yes yes yes yes yes yes yes yes yes"])
    assert [score.phrase for score in listener.search(said, many)] == ["yes"]


def test_a_rare_token_is_never_surer_than_sure(listener, yes):
    """ "hinges" is among the rare tokens, which the sum of the common ones leaves out."""
    assert (
        max(score.raw for score in listener.scores(yes, ["hinges", "yes hinges", "measured"]))
        <= 0.0
    )


def test_silent_steps_and_words_that_share_their_beginning_are_followed(listener):
    spelled = {"a": (1,), "ab": (1, 2), "c": (3,), "A": (9,)}
    grammar = Automaton(
        ((0, 1, ""), (1, 2, "a"), (1, 3, "ab"), (2, 4, ""), (4, 5, "c")), frozenset({3, 5})
    )
    paths = TokenTrie(grammar, lambda word, first: spelled[word])
    after_a = paths.after(paths.start)[1]
    assert set(paths.after(after_a)) == {2, 3} and not paths.ends(after_a)
    assert paths.ends(paths.after(after_a)[2]) and paths.ends(paths.after(after_a)[3])


def test_with_other_figures_of_its_own_it_hears_otherwise_and_back_again_as_before(listener):
    allowed = grammar_of_phrases(["yes", "no"])
    sound = load_sound(SAID / "yes.ogg")

    def total():
        return listener.search(listener.encode(sound), allowed)[0].total

    before = total()
    for figure in ({"prior_share": 0.5}, {"extra_frames": 150}):
        listener.tune(Tuning(**figure))
        assert total() != pytest.approx(before, abs=0.01)
        listener.tune(Tuning())
        assert total() == pytest.approx(before, abs=1e-3)
