"""A recording that breaks off may have lost the "not" of its answer: it is refused or read back."""

from __future__ import annotations

import io

import av
import numpy as np
import pytest
from test_audio_decoding import tone, written

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import UnusableAudio

KINDS = (
    ("wav", "pcm_s16le", 16_000),
    ("flac", "flac", 16_000),
    ("mp3", "mp3", 24_000),
    ("mp4", "aac", 44_100),
    ("webm", "libopus", 48_000),
    ("matroska", "libopus", 48_000),
    ("aiff", "pcm_s16be", 16_000),
)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind[0])
def test_a_whole_recording_is_not_torn(kind: tuple[str, str, int]) -> None:
    assert not load_sound(written(*kind, "mono", seconds=3.0)).torn


@pytest.mark.parametrize("share", [0.5, 0.7, 0.92])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind[0])
def test_one_that_ends_before_the_length_it_states_is_torn_or_refused(
    kind: tuple[str, str, int], share: float
) -> None:
    whole = written(*kind, "mono", seconds=3.0)
    try:
        assert load_sound(whole[: int(len(whole) * share)]).torn
    except UnusableAudio as refused:
        assert refused.problem in ("corrupt", "not_audio")


def test_one_that_does_not_say_how_long_it_is_may_be_torn() -> None:
    """As a browser writes it while it records: WebM without a length. From memory: RFC 9559,
    "livestreaming", lets Duration be left out.
    """
    out = io.BytesIO()
    with av.open(out, "w", format="webm", options={"live": "1"}) as file:
        stream = file.add_stream("libopus", rate=48_000)
        stream.layout = "mono"
        frame = av.AudioFrame.from_ndarray(tone(2.0, 48_000)[np.newaxis], "fltp", "mono")
        frame.sample_rate = 48_000
        resampler = av.AudioResampler(format=stream.format.name, layout="mono", rate=48_000)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            for packet in stream.encode(piece):
                file.mux(packet)
        for packet in stream.encode(None):
            file.mux(packet)
    assert load_sound(out.getvalue()).torn
