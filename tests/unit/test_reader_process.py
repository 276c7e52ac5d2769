"""Recordings of any number of channels, and of kinds that no telephone makes: mixed down or
refused, and never the end of the process. Each is read in a process of its own here, as the program
does, so that a crash fails one test alone.
"""

import io
import struct

import av
import numpy as np
import pytest

from doorround.hearing.audio.decoding import MAX_CHANNELS, load_sound
from doorround.hearing.audio.reader_process import UNREADABLE, ReaderProcess, bounded, read_apart
from doorround.hearing.audio.sound import RATE, UnusableAudio

SURROUND = {
    "7.1": 0x63F,
    "7.1 wide": 0xFF,
    "6.1": 0x70F,
    "5.1": 0x3F,
    "2.1": 0xB,
    "sixteen": 0xFFFF,
}
"""Speakers as a WAV file names them, a bit each: WAVEFORMATEXTENSIBLE."""


def tone(rate=RATE, seconds=1.0):
    return np.sin(2 * np.pi * 440 * np.arange(round(rate * seconds)) / rate)


def as_wav(channels, speakers=None, rate=RATE, samples=None):
    """A WAV file of 16 bits with the same tone on every channel."""
    heard = tone(rate) if samples is None else samples
    data = np.repeat((heard * 8000).astype("<i2")[:, None], channels, axis=1).tobytes()
    kind = 1 if speakers is None else 0xFFFE
    form = struct.pack(
        "<HHIIHH", kind, channels, rate, min(rate * 2 * channels, 2**32 - 1), 2 * channels, 16
    )
    if speakers is not None:
        guid = bytes.fromhex("0100000000001000800000aa00389b71")
        form += struct.pack("<HHI", 22, 16, speakers) + guid
    body = (
        b"WAVEfmt "
        + struct.pack("<I", len(form))
        + form
        + b"data"
        + struct.pack("<I", len(data))
        + data
    )
    return b"RIFF" + struct.pack("<I", len(body)) + body


def as_file(container, codec, channels, rate=48_000):
    """The same as another kind of file."""
    out = io.BytesIO()
    layout = {1: "mono", 2: "stereo", 3: "3.0", 4: "quad", 5: "5.0", 6: "5.1", 7: "6.1", 8: "7.1"}[
        channels
    ]
    with av.open(out, "w", format=container) as file:
        stream = file.add_stream(codec, rate=rate)
        stream.layout = layout
        samples = np.repeat(
            (tone(rate) * 8000).astype(np.int16)[:, None], channels, axis=1
        ).reshape(1, -1)
        frame = av.AudioFrame.from_ndarray(samples, format="s16", layout=layout)
        frame.sample_rate = rate
        resampler = av.AudioResampler(format=stream.format.name, layout=layout, rate=rate)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            for packet in stream.encode(piece):
                file.mux(packet)
        for packet in stream.encode(None):
            file.mux(packet)
    return out.getvalue()


def is_the_tone(sound):
    loudest = np.abs(np.fft.rfft(sound.samples[:RATE])).argmax() * RATE / len(sound.samples[:RATE])
    return (
        abs(loudest - 440) < 4
        and abs(sound.level_dbfs + 15.3) < 2
        and abs(sound.seconds - 1.0) < 0.1
    )


@pytest.mark.parametrize("channels", range(1, MAX_CHANNELS + 1))
def test_any_number_of_channels_is_mixed_down(channels):
    assert is_the_tone(read_apart(as_wav(channels)))


@pytest.mark.parametrize("layout", SURROUND)
def test_named_speakers_are_mixed_down(layout):
    assert is_the_tone(read_apart(as_wav(SURROUND[layout].bit_count(), SURROUND[layout])))


@pytest.mark.parametrize("speakers", [0, 0x1, 0x80000000, 0xFFFFFFFF])
def test_speakers_that_do_not_fit_the_channels_change_nothing(speakers):
    assert is_the_tone(read_apart(as_wav(8, speakers)))


@pytest.mark.parametrize(
    ("container", "codec", "channels"),
    [
        *(
            ("flac", "flac", channels) for channels in (1, 2, 3, 4, 5, 6, 8)
        ),  # its seven are other speakers
        *(("ogg", "libopus", channels) for channels in range(1, 9)),
        *(("mp4", "aac", channels) for channels in range(1, 9)),
    ],
)
def test_surround_in_other_kinds_of_file_is_mixed_down(container, codec, channels):
    assert is_the_tone(read_apart(as_file(container, codec, channels)))


@pytest.mark.parametrize("channels", [MAX_CHANNELS + 1, 32, 64, 65, 255, 1000, 30000])
def test_more_channels_than_anything_records_are_refused(channels):
    with pytest.raises(UnusableAudio, match=r"Record it|Send it") as refused:
        read_apart(as_wav(channels, samples=tone()[:400]))
    assert refused.value.problem in ("unusual", "corrupt", "too_short")
    if channels < 256:
        assert refused.value.problem == "unusual" and f"{channels} channels" in str(refused.value)


@pytest.mark.parametrize("rate", [1, 50, 3_999, 2_000_000, 4_000_000_000])
def test_a_rate_that_would_swell_the_recording_is_refused(rate):
    with pytest.raises(UnusableAudio) as refused:
        read_apart(as_wav(1, rate=rate, samples=tone()))
    assert refused.value.problem in ("unusual", "too_long", "corrupt")


def test_a_playlist_is_no_recording(tmp_path):
    (tmp_path / "other.wav").write_bytes(as_wav(1))
    for text in (
        f"ffconcat version 1.0\nfile {tmp_path}/other.wav\n",
        f"#EXTM3U\n#EXTINF:1,\n{tmp_path}/other.wav\n#EXT-X-ENDLIST\n",
    ):
        with pytest.raises(UnusableAudio) as refused:
            read_apart(text.encode())
        assert refused.value.problem == "not_audio"


def test_tags_in_no_known_letters_do_not_matter():
    out = io.BytesIO()
    with av.open(out, "w", format="wav") as file:
        file.metadata["title"] = "QQQQ"
        stream = file.add_stream("pcm_s16le", rate=RATE)
        stream.layout = "mono"
        frame = av.AudioFrame.from_ndarray(
            (tone() * 8000).astype(np.int16)[None], format="s16", layout="mono"
        )
        frame.sample_rate = RATE
        for packet in [*stream.encode(frame), *stream.encode(None)]:
            file.mux(packet)
    data = out.getvalue()
    assert b"QQQQ" in data
    assert is_the_tone(read_apart(data.replace(b"QQQQ", b"\xff\xfe\xe9\xc3")))


def test_what_takes_its_reader_down_takes_nothing_else_down():
    """Memory far under what reading takes ends the reader, or has it say so; the next recording is
    read by another.
    """
    small = ReaderProcess(room=1 << 16)
    with pytest.raises(UnusableAudio) as refused:
        small.read(as_wav(1))
    assert refused.value.problem in (UNREADABLE, "unusual")
    small.end()
    hanging = ReaderProcess(patience=0.0)
    with pytest.raises(UnusableAudio) as refused:
        hanging.read(as_wav(1))
    assert refused.value.problem == UNREADABLE and "Record it again, or type" in str(refused.value)
    assert is_the_tone(read_apart(as_wav(1)))


def test_a_reader_that_was_ended_is_started_again():
    own = ReaderProcess()
    assert is_the_tone(own.read(as_wav(1)))
    process = own._process
    process.kill()
    process.join()
    try:
        assert is_the_tone(own.read(as_wav(2)))
    except UnusableAudio as first:
        assert first.problem == UNREADABLE
        assert is_the_tone(own.read(as_wav(2)))
    own.end()


def test_bad_recordings_are_told_as_without_a_reader():
    for data in (b"", b"%PDF-1.7" * 20, as_wav(1)[:-9000], as_wav(1, samples=tone()[:300])):
        with pytest.raises(UnusableAudio) as here:
            load_sound(data)
        with pytest.raises(UnusableAudio) as there:
            read_apart(data)
        assert (here.value.problem, str(here.value)) == (there.value.problem, str(there.value))


def test_memory_is_bounded_within_and_as_before_behind():
    resource = pytest.importorskip("resource", reason="this system bounds no memory")
    before = resource.getrlimit(resource.RLIMIT_AS)
    try:
        with bounded(1 << 26):
            if resource.getrlimit(resource.RLIMIT_AS) == before:
                pytest.skip("this system does not say how much memory a process has")
            with pytest.raises(MemoryError):
                bytearray(1 << 30)
    finally:
        assert resource.getrlimit(resource.RLIMIT_AS) == before
