"""How loud, clipped and noisy a recording is, who talks behind it, and what is said of it after a
miss.
"""

from pathlib import Path

import numpy as np
import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.level import (
    DEEP_WITHIN,
    FLOOR_DB,
    Backdrop,
    Level,
    advice,
    advice_on,
    backdrop,
    level_of,
)
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.hearing.audio.vad import (
    FRAME,
    SPEECH,
    DetectedSpeech,
    detect_speech,
    speech_probabilities,
)
from tests.benchmarks.noise import mixed, pink

SAID = Path(__file__).parents[1] / "audio" / "said"
FRAMES = 60
SPOKEN = np.where((np.arange(FRAMES) >= 20) & (np.arange(FRAMES) < 40), 1.0, 0.0).astype(np.float32)


def tone_in_noise(speech_db, noise_db):
    """A tone in the middle third, white noise all along, each at a level under full scale (root
    mean square).
    """
    count = FRAMES * FRAME
    tone = np.sqrt(2) * 10 ** (speech_db / 20) * np.sin(2 * np.pi * 500 * np.arange(count) / RATE)
    noise = 10 ** (noise_db / 20) * np.random.default_rng(3).standard_normal(count)
    return sound_of((tone * np.repeat(SPOKEN, FRAME) + noise).astype(np.float32))


@pytest.mark.parametrize("noise_db", [-60, -50, -40])
def test_speech_level_and_distance_to_the_noise_are_right_within_half_a_decibel(noise_db):
    level = level_with(tone_in_noise(-20, noise_db), SPOKEN)
    assert level.speech_db == pytest.approx(-20, abs=0.5)
    assert level.snr_db == pytest.approx(-20 - noise_db, abs=0.5)
    assert level.peak_db == pytest.approx(-17, abs=2.5)


def test_a_clip_without_a_pause_tells_nothing_of_the_noise():
    assert level_with(tone_in_noise(-20, -40), np.ones(FRAMES, np.float32)).snr_db is None


def test_flat_tops_count_as_clipped_even_when_made_quieter_afterwards():
    voice = load_sound(SAID / "seals-fine.ogg")
    clipped = np.clip(voice.samples / voice.peak * 8, -1, 1)
    heard = speech_probabilities(voice)
    assert level_with(voice, heard).clipped < 0.005
    assert level_with(sound_of(clipped), heard).clipped > 0.05
    assert level_with(sound_of(0.3 * clipped), heard).clipped > 0.05


def level_with(sound, probabilities):
    return level_of(DetectedSpeech(sound, probabilities))


def recording(word_db, behind_db, speech_behind):
    """Twenty frames of a word between forty of what is behind it, and how probable speech is in
    each.
    """
    random = np.random.default_rng(3)
    levels = [behind_db] * 20 + [word_db] * 20 + [behind_db] * 20
    frames = [random.standard_normal(FRAME) * 10 ** (level / 20) for level in levels]
    speech = np.array([speech_behind] * 20 + [0.95] * 20 + [speech_behind] * 20, np.float32)
    return DetectedSpeech(sound_of(np.concatenate(frames).astype(np.float32)), speech)


def test_the_depth_is_from_the_words_to_what_is_behind_them():
    found = backdrop(recording(-20, -50, 0.1))
    assert abs(found.depth - 30) < 1 and abs(found.murmur - 0.1) < 0.01


def test_speech_close_under_the_words_may_be_other_people():
    assert backdrop(recording(-20, -32, 0.8)).talk


def test_steady_noise_and_far_talk_are_not():
    assert not backdrop(recording(-20, -32, 0.1)).talk
    assert not backdrop(recording(-20, -60, 0.8)).talk


def test_a_recording_too_short_to_tell_is_taken_for_talk():
    assert backdrop(
        DetectedSpeech(sound_of(np.zeros(10, np.float32)), np.zeros(1, np.float32))
    ).talk


def test_the_level_of_a_recording_holds_the_same_measurement():
    speech = recording(-20, -32, 0.8)
    assert level_of(speech).behind == backdrop(speech)
    nobody = np.zeros_like(speech.probabilities)
    assert level_of(DetectedSpeech(speech.sound, nobody)).behind is None


def test_a_hole_of_digital_silence_in_the_speech_is_a_dropout_and_a_constant_an_offset():
    samples = tone_in_noise(-20, -60).samples.copy()
    samples[25 * FRAME : 30 * FRAME] = 0
    assert level_with(sound_of(samples), SPOKEN).dropped == pytest.approx(0.25)
    assert level_with(sound_of(samples + np.float32(0.1)), SPOKEN).offset == pytest.approx(
        0.1, abs=0.001
    )


def test_nothing_is_a_level_too():
    assert level_with(sound_of(np.zeros(0, np.float32)), np.zeros(1, np.float32)).snr_db is None
    assert (
        level_with(sound_of(np.zeros(RATE, np.float32)), np.zeros(32, np.float32)).peak_db
        == FLOOR_DB
    )


FINE = Level(-6.0, -26.0, -20.0, 0.0, 30.0, Backdrop(60.0, 0.1), 0.0, 0.0)


@pytest.mark.parametrize(
    ("changed", "begins"),
    [
        ({"clipped": 0.2}, "Too loud."),
        ({"peak_db": -50.0}, "Too quiet."),
        ({"snr_db": 4.0}, "Too much noise."),
        ({"behind": None, "snr_db": None, "speech_db": FLOOR_DB}, "Too much noise."),
        ({"behind": Backdrop(12.0, 0.7)}, "Others may be talking."),
        ({"behind": Backdrop(12.0, 0.7, measured=False)}, "Leave a moment of quiet"),
    ],
)
def test_each_trouble_has_its_own_line_and_says_what_to_do(changed, begins):
    line = advice(Level(**{**vars(FINE), **changed}))
    assert line.startswith(begins) and len(line) > len(begins) + 10 and "\n" not in line


def test_a_fine_recording_and_one_that_tells_nothing_get_no_advice():
    assert advice(FINE) is None
    nobody = {"snr_db": None, "behind": None, "speech_db": FLOOR_DB, "level_db": -65.0}
    assert advice(Level(**{**vars(FINE), **nobody})) is None


def test_a_real_voice_in_pink_noise_is_told_to_be_noisy_and_clean_it_is_not():
    voice = load_sound(SAID / "seals-fine.ogg")
    quiet = np.zeros(RATE // 2, np.float32)
    spaced = sound_of(np.concatenate([quiet, voice.samples, quiet]))
    assert advice(level_of(detect_speech(spaced))) is None
    noisy = mixed(spaced, pink(len(spaced.samples), np.random.default_rng(1)), 5)
    assert advice(level_of(detect_speech(noisy))).startswith("Too much noise.")


@pytest.mark.parametrize(
    ("name", "line"), [("lorry-passing", "Too much noise."), ("hammering", "Too much noise.")]
)
def test_noise_in_which_nobody_is_heard_is_called_noise(name, line):
    assert advice_on(load_sound(SAID.parent / "nothing" / f"{name}.ogg")).startswith(line)


def cut_to_the_voice(edge=0.0):
    """A real voice from its first to its last frame of speech. edge: seconds of a quiet room kept
    at each end.
    """
    voice = load_sound(SAID / "seals-fine.ogg")
    active = np.flatnonzero(speech_probabilities(voice) >= SPEECH) * FRAME
    beside = np.zeros(round(edge * RATE), np.float32)
    words = voice.samples[active[0] : active[-1] + FRAME]
    whole = np.concatenate([beside, words, beside])
    return sound_of(whole + np.random.default_rng(2).normal(0, 1e-4, len(whole)).astype(np.float32))


def test_a_clip_cut_to_a_voice_in_a_quiet_room_is_quiet():
    cut = backdrop(detect_speech(cut_to_the_voice()))
    assert not cut.measured and not cut.talk and cut.depth >= DEEP_WITHIN
    assert backdrop(detect_speech(cut_to_the_voice(edge=0.5))).measured


@pytest.mark.parametrize("decibels", [15, 10, 5, 0])
def test_a_clip_cut_to_a_voice_with_noise_under_it_is_not_quiet(decibels):
    cut = cut_to_the_voice()
    noisy = mixed(cut, pink(len(cut.samples), np.random.default_rng(1)), decibels)
    found = backdrop(detect_speech(noisy))
    assert found.depth < DEEP_WITHIN and (found.talk or found.depth < 20)


def test_a_clip_too_short_to_show_its_background_is_not_said_to_have_others_in_it():
    speaks = np.ones(FRAMES, np.float32)
    found = backdrop(DetectedSpeech(tone_in_noise(-20, -30), speaks))
    assert found.talk and not found.measured
