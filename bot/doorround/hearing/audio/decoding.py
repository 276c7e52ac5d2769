"""Decodes any phone recording to 16 kHz mono samples, identical for every engine."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import numpy as np

from doorround.hearing.audio.sound import (
    MIN_SECONDS,
    RATE,
    TOO_CLIPPED,
    Samples,
    Sound,
    UnusableAudio,
    sound_of,
)
from doorround.messages import recordings

if TYPE_CHECKING:
    from av.audio.frame import AudioFrame
    from av.container import InputContainer


MAX_SECONDS = 180.0
"""A whole door in one voice note takes up to three minutes; anything longer was recorded by
accident.
"""


SHORTFALL = 0.9
"""A file that yields less than this fraction of the duration in its header was truncated."""

TORN_BY = 0.15
"""One that yields this many seconds less than stated may have lost its last word; "not"
takes 0.2.
"""

MAX_CHANNELS = 16
"""Maximum number of channels to mix down; no phone records more than four."""

RATES = range(4_000, 768_001)
"""Minimum sample rate accepted from a header. A frame of a few bytes at one sample a second would
become hours of silence when resampled.
"""

READERS = "ogg,wav,flac,mp3,mov,matroska,aac,amr,aiff,caf"
"""Container formats that FFmpeg may probe. It knows some hundred more, including playlists, which
would make it open other files and addresses.
"""

_MAGIC = (
    b"OggS",
    b"RIFF",
    b"fLaC",
    b"ID3",
    b"\xff\xfb",
    b"\xff\xf3",
    b"\xff\xf2",
    b"\xff\xf1",
    b"\x1aE\xdf\xa3",
)
_READ = 1 << 20
_OGG_PAGE = 27 + 255 + 255 * 255
_FLAGS = 5
"""Offset of the page header byte that flags the last page of a stream. RFC 3533, section 6."""
_LAST = 0x04
"""The flag's bit. RFC 3533, section 6."""


def load_sound(source: Path | str | bytes, max_seconds: float = MAX_SECONDS) -> Sound:
    """Decode a recording from a file or memory: OGG/Opus, WAV, FLAC, MP3, M4A, any rate, any number
    of channels.

    Decoded as a stream; never holds more than `max_seconds` of samples. Silence gives a normal
    Sound. Raises UnusableAudio with problem missing, empty, not_audio, corrupt, unusual, too_long,
    too_short or clipped.
    """
    name = recordings.THE_RECORDING if isinstance(source, bytes) else Path(source).name
    digest, head, torn = _digest(source, name)
    samples, short = _decoded(source, name, head, max_seconds)
    if len(samples) < MIN_SECONDS * RATE:
        raise UnusableAudio("too_short", recordings.too_short(name, len(samples) / RATE))
    sound = replace(sound_of(samples, digest, name), torn=torn or short)
    if sound.clipped > TOO_CLIPPED:
        raise UnusableAudio("clipped", recordings.distorted(name))
    return sound


def _digest(source: Path | str | bytes, name: str) -> tuple[str, bytes, bool]:
    """Its hash, its first bytes, and whether it may be truncated."""
    sha = hashlib.sha256()
    head = b""
    tail = b""
    size = 0
    try:
        with _opened(source) as stream:
            while block := stream.read(_READ):
                head = head or block[:12]
                tail = (tail + block)[-_OGG_PAGE:]
                size = size + len(block)
                sha.update(block)
    except OSError as error:
        raise UnusableAudio("missing", recordings.no_file(name, str(error.strerror))) from error
    if not head:
        raise UnusableAudio("empty", recordings.empty(name))
    if _cut_off(head, tail, size):
        raise _corrupt(name)
    page = _last_page(head, tail)
    return sha.hexdigest(), head, len(page) > _FLAGS and not page[_FLAGS] & _LAST


def _opened(source: Path | str | bytes) -> IO[bytes]:
    return io.BytesIO(source) if isinstance(source, bytes) else Path(source).open("rb")


def _decoded(
    source: Path | str | bytes, name: str, head: bytes, max_seconds: float
) -> tuple[Samples, bool]:
    """Its samples, and whether they may be truncated."""
    from av.error import FFmpegError

    try:
        with _opened(source) as stream, _container(stream) as container:
            return _stream_samples(container, name, max_seconds)
    except MemoryError as error:
        raise UnusableAudio("unusual", recordings.takes_too_much(name)) from error
    except (FFmpegError, EOFError, ValueError, UnicodeDecodeError) as error:
        if _looks_like_audio(head):
            raise _corrupt(name) from error
        raise _not_audio(name) from error


def _container(stream: IO[bytes]) -> InputContainer:
    import av

    options: dict[str, Any] = {"container_options": {"format_whitelist": READERS}}
    if int(av.__version__.partition(".")[0]) < 19:
        # tags that are not UTF-8: older PyAV rejects the whole file because of them, newer versions
        # no longer accept this argument
        options["metadata_errors"] = "ignore"
    opened: InputContainer = av.open(stream, mode="r", **options)
    return opened


def _stated_seconds(container: InputContainer) -> float | None:
    """Duration stated by a file; None if its end cannot be detected. 0 for files that state none
    but have an end marker or a constant bit rate.
    """
    audio = container.streams.audio[0]
    if audio.duration and audio.time_base:
        return float(audio.duration * audio.time_base)
    if "matroska" not in container.format.name:
        return 0.0
    # a Matroska file written while recording states no duration, and may be truncated anywhere
    return container.duration / 1e6 if container.duration else None


def _stream_samples(
    container: InputContainer, name: str, max_seconds: float
) -> tuple[Samples, bool]:
    if not container.streams.audio:
        raise _not_audio(name) if len(container.streams) else _corrupt(name)
    audio = container.streams.audio[0]
    if audio.codec_context is None:  # an audio codec that FFmpeg has no name for
        raise _corrupt(name)
    _check_kind(audio.channels, audio.sample_rate, name)
    stated = _stated_seconds(container)
    if (stated or 0.0) > max_seconds:
        raise _too_long(name, max_seconds)
    blocks: list[Samples] = []
    count = 0
    limit = int(max_seconds * RATE)
    for block in _resampled(container.decode(audio), name):
        blocks.append(block)
        count += len(block)
        if count > limit:
            raise _too_long(name, max_seconds)
    if not count:
        raise UnusableAudio("empty", recordings.no_sound(name))
    if count < SHORTFALL * (stated or 0.0) * RATE:
        raise _corrupt(name)
    short = stated is None or count < (stated - TORN_BY) * RATE
    return np.concatenate(blocks), short


def _check_kind(channels: int, rate: int, name: str) -> None:
    if channels > MAX_CHANNELS or rate not in RATES:
        raise UnusableAudio("unusual", recordings.no_phones(name, channels, rate))


def _resampled(frames: Iterator[AudioFrame], name: str) -> Iterator[Samples]:
    from av.audio.resampler import AudioResampler

    # Channels are averaged here: FFmpeg's own stereo-to-mono mix adds 3 dB to whatever both
    # channels contain, and clips it. They arrive interleaved: for a frame with eight planes or more
    # PyAV reads out of bounds, and crashes.
    resampler: Any = AudioResampler(format="flt", rate=RATE)
    for frame in frames:
        _check_kind(frame.layout.nb_channels, frame.sample_rate, name)
        frame.pts = None  # timestamp gaps in a voice note must not be filled with silence
        yield from map(_mono, resampler.resample(frame))
    yield from map(_mono, resampler.resample(None))


def _mono(frame: AudioFrame) -> Samples:
    interleaved = frame.to_ndarray().reshape(-1, frame.layout.nb_channels)
    return np.asarray(interleaved.mean(axis=1, dtype=np.float32), dtype=np.float32)


def _cut_off(head: bytes, tail: bytes, size: int) -> bool:
    """Whether a WAV or OGG file ends before its header says or before its last page: FFmpeg would
    not report this.

    The missing part may be the "not" of an answer. Source: RFC 3533, section 6 (pages); RIFF chunk
    sizes.
    """
    if head.startswith(b"RIFF"):
        stated = int.from_bytes(head[4:8], "little")
        return 0 < stated < 0xFFFFFFFF and size < stated + 8
    page = _last_page(head, tail)
    if not page:
        return False
    segments = page[26] if len(page) > 26 else 255
    return len(page) < 27 + segments + sum(page[27 : 27 + segments])


def _last_page(head: bytes, tail: bytes) -> bytes:
    """The last page of an OGG file; empty for any other format."""
    return tail[tail.rfind(b"OggS") :] if head.startswith(b"OggS") and b"OggS" in tail else b""


def _looks_like_audio(head: bytes) -> bool:
    return head.startswith(_MAGIC) or head[4:8] == b"ftyp"


def _corrupt(name: str) -> UnusableAudio:
    return UnusableAudio("corrupt", recordings.damaged(name))


def _not_audio(name: str) -> UnusableAudio:
    return UnusableAudio("not_audio", recordings.not_audio(name))


def _too_long(name: str, max_seconds: float) -> UnusableAudio:
    return UnusableAudio("too_long", recordings.too_long(name, max_seconds))
