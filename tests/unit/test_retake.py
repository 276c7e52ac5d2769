"""The same words recorded once more: another file, the same sound."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from doorround.channels.replay.retake import checksum, retaken
from doorround.hearing.audio.decoding import load_sound

CLEAR = (Path(__file__).parents[2] / "demo_conversations" / "voice" / "all-clear.ogg").read_bytes()


def test_another_take_is_another_file_with_the_same_sound() -> None:
    again = retaken(CLEAR, 7)
    assert again != CLEAR and len(again) == len(CLEAR) and retaken(CLEAR, 8) != again
    one = load_sound(CLEAR)
    other = load_sound(again)
    assert one.sha256 != other.sha256 and np.array_equal(one.samples, other.samples)


def test_the_checksum_is_that_of_the_files_own_writer() -> None:
    head = CLEAR[: 27 + CLEAR[26] + sum(CLEAR[27 : 27 + CLEAR[26]])]
    assert checksum(head[:22] + bytes(4) + head[26:]) == int.from_bytes(head[22:26], "little")


def test_what_is_no_ogg_stays_as_it_is() -> None:
    assert retaken(b"RIFF1234", 7) == b"RIFF1234"
