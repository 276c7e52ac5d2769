"""The listener's own decoder against the library's, on the same weights; and its search against scoring everything."""

from pathlib import Path

import numpy as np
import pytest

from bot.hearing.audio import load_sound
from bot.hearing.listener import Listener
from bot.hearing.network import Automaton
from bot.hearing.phrases import allowed_from_phrases, tree_of
from bot.hearing.token_paths import TokenPaths
from bot.hearing.weights import find_weights

SAID = Path(__file__).parent / "said"
PHRASES = ["yes", "all tight", "closes fully", "doesn't touch the floor", "three", "three and a half", "thirty"]


@pytest.fixture(scope="module")
def listener():
    return Listener(find_weights(Path("models-not-looked-at")))


@pytest.fixture(scope="module")
def yes(listener):
    return listener.encode(load_sound(SAID / "yes.ogg"))


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_phrase_weighs_what_the_library_says(listener, yes, phrase):
    """CTranslate2's own alignment gives the probability of each token, full stop and all."""
    ((whole, count),) = listener._sums(yes, [phrase])
    paths = TokenPaths(tree_of((phrase,)), listener._spell)
    (ended,) = listener._follower.follow(listener._decoder.attend(yes.states[0]), paths, yes.frames / 100)
    assert list(ended.tokens) == listener.tokens(phrase)
    # 8-bit weights there, and all tokens to be held against, make some hundredths of a nat a token
    assert ended.raw == pytest.approx(whole, abs=0.35 * count)


def test_following_a_grammar_finds_what_scoring_every_phrase_finds(listener, yes):
    followed = listener.follow(yes, allowed_from_phrases(PHRASES))
    assert followed[0] == listener.scores(yes, PHRASES)[0].phrase == "yes"
    assert set(followed) <= set(PHRASES)


def test_a_grammar_with_a_loop_ends(listener, yes):
    loop = TokenPaths(Automaton(((0, 1, "yes"), (1, 0, "")), frozenset({1})), listener._spell)
    found = listener._follower.follow(listener._decoder.attend(yes.states[0]), loop, yes.frames / 100)
    assert found and max(len(each.tokens) for each in found) <= 5 + 4 * yes.frames / 100 + 1


def test_another_answer_in_the_same_breath_is_dearer():
    spelled = {"a": (1,), "b": (2,)}
    grammar = Automaton(((0, 2, "a"), (2, 1, ""), (1, 3, ""), (3, 4, "b"), (4, 1, "")), frozenset({1}), joint=3)
    paths = TokenPaths(grammar, lambda word, first: spelled[word])
    place = paths.after(paths.start)[1]
    assert paths.again(paths.start) == frozenset() and paths.again(place) == {2}


def test_silent_steps_and_words_that_share_their_beginning_are_followed():
    spelled = {"a": (1,), "ab": (1, 2), "c": (3,)}
    grammar = Automaton(((0, 1, ""), (1, 2, "a"), (1, 3, "ab"), (2, 4, ""), (4, 5, "c")), frozenset({3, 5}))
    paths = TokenPaths(grammar, lambda word, first: spelled[word])
    after_a = paths.after(paths.start)[1]
    assert set(paths.after(after_a)) == {2, 3} and not paths.ends(after_a)
    assert paths.ends(paths.after(after_a)[2]) and paths.ends(paths.after(after_a)[3])


def test_the_sums_are_those_of_32_bit_numbers(listener, yes):
    keys, values = listener._decoder.attend(yes.states[0]).layers[0]
    assert keys.dtype == values.dtype == np.float32
