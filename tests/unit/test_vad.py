"""Who speaks and when, and the spectrogram that the listener is given."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.hearing.audio.vad import SPEECH, detect_speech, speech_probabilities
from doorround.hearing.engines.log_mel import log_mel

AUDIO = Path(__file__).parents[1] / "audio"


def test_a_voice_is_speech():
    assert speech_probabilities(load_sound(AUDIO / "said" / "seals-fine.ogg")).max() > 0.9


@pytest.mark.parametrize("name", ["quiet-room", "lorry-passing", "hammering"])
def test_a_lorry_hammering_and_an_empty_corridor_are_no_speech(name):
    assert speech_probabilities(load_sound(AUDIO / "nothing" / f"{name}.ogg")).max() < SPEECH


def test_one_probability_each_32_ms_even_of_next_to_nothing():
    assert len(speech_probabilities(sound_of(np.zeros(RATE, np.float32)))) == 32
    assert len(speech_probabilities(sound_of(np.zeros(1, np.float32)))) == 1
    assert len(speech_probabilities(sound_of(np.zeros(0, np.float32)))) == 1


def test_three_answers_in_one_breath_are_three_pieces():
    found = detect_speech(load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg")).segments
    assert len(found) == 3
    assert all(earlier.end < later.start for earlier, later in pairwise(found))


def test_a_recording_of_nothing_has_no_pieces_and_is_left_whole():
    silent = sound_of(np.zeros(RATE, np.float32))
    assert detect_speech(silent).segments == ()
    assert detect_speech(silent).around.seconds == 1.0


def test_what_was_looked_at_once_is_not_looked_at_again():
    speech = detect_speech(load_sound(AUDIO / "said" / "yes.ogg"))
    assert detect_speech(speech) is speech


def test_long_silence_around_speech_is_taken_off():
    voice = load_sound(AUDIO / "said" / "yes.ogg")
    quiet = np.zeros(5 * RATE, np.float32)
    spaced = sound_of(np.concatenate([quiet, voice.samples, quiet]))
    assert detect_speech(spaced).around.seconds < voice.seconds + 0.7


def test_the_spectrogram_is_the_one_whisper_was_trained_on():
    extractor = pytest.importorskip("faster_whisper.feature_extractor")
    samples = load_sound(AUDIO / "said" / "seals-fine.ogg").samples
    assert np.allclose(
        log_mel(samples), extractor.FeatureExtractor()(samples, padding=0), atol=1e-5
    )
