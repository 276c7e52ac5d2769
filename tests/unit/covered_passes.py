"""A pass heard in speech of so many frames, for the tests of coverage."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from doorround.hearing.audio.sound import sound_of
from doorround.hearing.audio.vad import FRAME, DetectedSpeech
from doorround.hearing.grammar.active_grammar import Polarity, plain_reading
from doorround.hearing.grammar.phrase_list import grammar_of_phrases

PASS = replace(
    grammar_of_phrases(["closes fully", "slams", "yes", "no"]),
    read=lambda phrase: plain_reading(
        phrase, Polarity.DEFECT if phrase in ("slams", "no") else Polarity.PASS
    ),
)
SURE = {
    "loop": 0.0,
    "talk": 60.0,
    "gap": 100.0,
    "log_frames": 3.0,
    "voice": 1.0,
    "turned": 100.0,
    "depth": 50.0,
    "murmur": 0.0,
}


def speech_of(*probabilities, from_start=True, torn=False):
    """Speech this probable in each 32 ms frame, in a recording of nothing."""
    frames = np.array(probabilities, np.float32)
    sound = sound_of(np.zeros(len(frames) * FRAME, np.float32))
    return DetectedSpeech(replace(sound, from_start=from_start, torn=torn), frames)


SPEAKS = speech_of(0.0, 0.1, *[0.9] * 20)
