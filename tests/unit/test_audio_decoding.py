"""Whatever a phone makes of it becomes 16 kHz mono; whatever cannot be listened to says why and
what to do.
"""

import io
import struct
import tracemalloc

import av
import numpy as np
import pytest

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, UnusableAudio, sound_of

FORMATS = [
    ("ogg", "libopus", 48_000, "mono"),
    ("ogg", "libopus", 48_000, "stereo"),
    ("wav", "pcm_s16le", 8_000, "mono"),
    ("wav", "pcm_s16le", 44_100, "stereo"),
    ("wav", "pcm_f32le", 96_000, "mono"),
    ("flac", "flac", 16_000, "mono"),
    ("flac", "flac", 22_050, "stereo"),
    ("mp3", "mp3", 44_100, "stereo"),
    ("mp3", "mp3", 24_000, "mono"),
    ("mp4", "aac", 44_100, "mono"),
]


def tone(seconds, rate, level=0.3, hertz=440):
    return (level * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(
        np.float32
    )


def written(container, codec, rate, layout, seconds=1.5, level=0.3):
    """A tone as a file of that kind, in memory."""
    out = io.BytesIO()
    with av.open(out, "w", format=container) as file:
        stream = file.add_stream(codec, rate=rate)
        stream.layout = layout
        samples = tone(seconds, rate, level)
        channels = 2 if layout == "stereo" else 1
        frame = av.AudioFrame.from_ndarray(
            np.tile(samples, (channels, 1)), format="fltp", layout=layout
        )
        frame.sample_rate = rate
        resampler = av.AudioResampler(format=stream.format.name, layout=layout, rate=rate)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            for packet in stream.encode(piece):
                file.mux(packet)
        for packet in stream.encode(None):
            file.mux(packet)
    return out.getvalue()


@pytest.mark.parametrize(("container", "codec", "rate", "layout"), FORMATS)
def test_every_format_rate_and_layout_becomes_the_same_tone(container, codec, rate, layout):
    sound = load_sound(written(container, codec, rate, layout))
    assert sound.samples.dtype == np.float32 and sound.samples.ndim == 1
    assert sound.seconds == pytest.approx(1.5, abs=0.12)
    middle = sound.samples[RATE // 2 : RATE]
    loudest = np.abs(np.fft.rfft(middle)).argmax() * RATE / len(middle)
    assert loudest == pytest.approx(440, abs=4)
    assert sound.level_dbfs == pytest.approx(-13.5, abs=1.5)


def test_a_file_and_its_bytes_are_the_same_recording(tmp_path):
    data = written("ogg", "libopus", 48_000, "mono")
    (tmp_path / "note.ogg").write_bytes(data)
    from_file = load_sound(tmp_path / "note.ogg")
    from_bytes = load_sound(data)
    assert from_file.sha256 == from_bytes.sha256
    assert np.array_equal(from_file.samples, from_bytes.samples)


def cut_off(data):
    return data[: len(data) * 2 // 3]


BAD = {
    "empty": b"",
    "not_audio": b"%PDF-1.7 this is a fire strategy, not a voice note" * 20,
    "corrupt": cut_off(written("wav", "pcm_s16le", 16_000, "mono")),
    "too_short": written("wav", "pcm_s16le", 16_000, "mono", seconds=0.05),
    "clipped": written("wav", "pcm_s16le", 16_000, "mono", level=4.0),
    "too_long": written("flac", "flac", 16_000, "mono", seconds=12.0),
}


@pytest.mark.parametrize(("problem", "data"), BAD.items(), ids=BAD.keys())
def test_each_bad_recording_has_its_own_problem_and_says_what_to_do(problem, data):
    with pytest.raises(UnusableAudio) as caught:
        load_sound(data, max_seconds=10.0)
    assert caught.value.problem == problem
    assert str(caught.value).count(". ") >= 1 and "\n" not in str(caught.value)


def test_the_replies_differ():
    replies = set()
    for data in BAD.values():
        with pytest.raises(UnusableAudio) as caught:
            load_sound(data, max_seconds=10.0)
        replies.add(str(caught.value))
    assert len(replies) == len(BAD)


CUT_OFF = [
    ("ogg", "libopus", 1),
    ("ogg", "libopus", 900),
    ("wav", "pcm_s16le", 1),
    ("wav", "pcm_s16le", 900),
]
CUT_OFF += [("flac", "flac", 20_000), ("mp4", "aac", 900), ("mp4", "aac", 9_000)]


@pytest.mark.parametrize(("container", "codec", "lost"), CUT_OFF)
def test_a_recording_that_was_cut_off_is_not_taken_for_a_whole_one(container, codec, lost):
    data = written(container, codec, 48_000, "mono", seconds=3.0)
    with pytest.raises(UnusableAudio) as caught:
        load_sound(data[:-lost])
    assert caught.value.problem == "corrupt"


def test_damage_inside_a_container_is_corrupt():
    data = bytearray(written("mp4", "aac", 44_100, "mono"))
    data[100:] = bytes(len(data) - 100)
    with pytest.raises(UnusableAudio) as caught:
        load_sound(bytes(data))
    assert caught.value.problem == "corrupt"


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(UnusableAudio, match=r"nowhere\.ogg cannot be read"):
        load_sound(tmp_path / "nowhere.ogg")


def test_a_wav_of_no_samples_is_empty():
    header = struct.pack(
        "<4sI4s4sIHHIIHH4sI",
        b"RIFF",
        36,
        b"WAVE",
        b"fmt ",
        16,
        1,
        1,
        RATE,
        2 * RATE,
        2,
        16,
        b"data",
        0,
    )
    with pytest.raises(UnusableAudio) as caught:
        load_sound(header)
    assert caught.value.problem == "empty"


def test_digital_silence_is_a_recording_like_any_other():
    sound = load_sound(written("wav", "pcm_s16le", 16_000, "mono", level=0.0))
    assert sound.peak == 0.0 and sound.level_dbfs == float("-inf")


def test_loud_but_whole_is_not_clipped():
    assert sound_of(tone(1.0, RATE, 0.97)).clipped == 0.0
    assert sound_of(np.clip(tone(1.0, RATE, 3.0), -1, 1)).clipped > 0.5


def test_decoding_stops_at_the_limit_and_holds_no_more():
    data = written("ogg", "libopus", 48_000, "mono", seconds=240.0)
    tracemalloc.start()
    with pytest.raises(UnusableAudio) as caught:
        load_sound(data, max_seconds=20.0)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert caught.value.problem == "too_long"
    assert peak < 8_000_000  # 20 s are 1.3 MB of samples, 240 s would be 15 MB


def test_a_cut_is_measured_anew_and_keeps_the_hash():
    sound = sound_of(np.concatenate([np.zeros(RATE, np.float32), tone(1.0, RATE)]))
    quiet = sound.cut(0.0, 1.0)
    assert (quiet.peak, quiet.seconds, quiet.sha256) == (0.0, 1.0, sound.sha256)
