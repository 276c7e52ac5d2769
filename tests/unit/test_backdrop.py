"""Other people talking behind the words: little depth, and speech where the words are not."""

import numpy as np

from bot.hearing.activity import FRAME
from bot.hearing.audio import sound_of
from bot.hearing.backdrop import backdrop


def recording(word_db, behind_db, speech_behind):
    """Twenty frames of a word between forty of what is behind it, and how probable speech is in each."""
    random, levels = np.random.default_rng(3), [behind_db] * 20 + [word_db] * 20 + [behind_db] * 20
    frames = [random.standard_normal(FRAME) * 10 ** (level / 20) for level in levels]
    speech = np.array([speech_behind] * 20 + [0.95] * 20 + [speech_behind] * 20, np.float32)
    return sound_of(np.concatenate(frames).astype(np.float32)), speech


def test_the_depth_is_from_the_words_to_what_is_behind_them():
    found = backdrop(*recording(-20, -50, 0.1))
    assert abs(found.depth - 30) < 1 and abs(found.murmur - 0.1) < 0.01


def test_speech_close_under_the_words_may_be_other_people():
    assert backdrop(*recording(-20, -32, 0.8)).talk


def test_steady_noise_and_far_talk_are_not():
    assert not backdrop(*recording(-20, -32, 0.1)).talk
    assert not backdrop(*recording(-20, -60, 0.8)).talk


def test_a_recording_too_short_to_tell_is_taken_for_talk():
    assert backdrop(sound_of(np.zeros(10, np.float32)), np.zeros(1, np.float32)).talk
