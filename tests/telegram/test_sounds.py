"""Whatever carries speech goes to hearing: voice notes, round and other videos, audio files.

A silent film says so.
"""

from __future__ import annotations

import io
from pathlib import Path

import av
import numpy as np
import pytest
from media import MediaStandIn, add_known_door, settled
from service import prepare, serving, until

from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, Silence
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, Sound, UnusableAudio
from doorround.messages.receiving import RECORDING_TOO_BIG

ALL_CLEAR = Path(__file__).parents[2] / "demo_conversations" / "voice" / "all-clear.ogg"


class DecodingPool:
    """Decodes as the pool does, and hears nothing in it."""

    def __init__(self) -> None:
        self.sounds: list[Sound] = []

    async def hear(self, recording: bytes, wanted: object) -> Silence | BadAudio:
        try:
            self.sounds.append(load_sound(recording))
        except UnusableAudio as bad:
            return BadAudio(advice=str(bad))
        return Silence()


def film(samples: np.ndarray | None, format: str = "mp4", frames: int = 12) -> bytes:
    """A small film with these samples as its sound, AAC at 44.1 kHz; as telephones make them."""
    out = io.BytesIO()
    with av.open(out, "w", format=format) as container:
        picture = container.add_stream("mpeg4", rate=10) if frames else None
        sound = (
            container.add_stream("aac", rate=44_100, layout="mono") if samples is not None else None
        )
        if picture is not None:
            picture.width = picture.height = 96
            for place in range(frames):
                shade = np.full((96, 96, 3), 20 * place, np.uint8)
                container.mux(picture.encode(av.VideoFrame.from_ndarray(shade, format="rgb24")))
            container.mux(picture.encode(None))
        if sound is not None:
            frame = av.AudioFrame.from_ndarray(samples[None, :], format="flt", layout="mono")
            frame.sample_rate = RATE
            resampler = av.AudioResampler(format="fltp", layout="mono", rate=44_100)
            for piece in [*resampler.resample(frame), *resampler.resample(None)]:
                container.mux(sound.encode(piece))
            container.mux(sound.encode(None))
    return out.getvalue()


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


async def test_every_kind_of_recording_is_heard_whole(home):
    spoken = load_sound(ALL_CLEAR)
    pool = DecodingPool()
    in_film = film(spoken.samples)
    only_sound = film(spoken.samples, "ipod", frames=0)
    async with MediaStandIn() as server, serving(home, server, pool):
        await server.talk(1, "12")
        ogg = ALL_CLEAR.read_bytes()
        server.say(1, voice=server.file(ogg, duration=1, mime_type="audio/ogg"))
        server.say(1, video_note=server.file(in_film, duration=1, length=96))
        server.say(1, video=server.file(in_film, duration=1, width=96, height=96))
        server.say(1, audio=server.file(only_sound, duration=1, mime_type="audio/mp4"))
        server.say(1, document=server.file(ogg, mime_type="audio/ogg", file_name="note.ogg"))
        server.say(1, document=server.file(in_film, mime_type="video/mp4", file_name="door.mp4"))
        await until(lambda: len(pool.sounds) == 6)
    for sound in pool.sounds:
        assert sound.seconds == pytest.approx(spoken.seconds, abs=0.15)
        assert sound.level_dbfs == pytest.approx(spoken.level_dbfs, abs=1.5)


async def test_a_film_without_sound_and_one_too_big_say_so_and_answer_nothing(home):
    pool = DecodingPool()
    async with MediaStandIn() as server, serving(home, server, pool) as logbook:
        await server.talk(1, "12")
        before = logbook.head()
        server.say(1, video=server.file(film(None), duration=1, width=96, height=96))
        server.say(
            1, video=server.file(b"x", duration=1, width=96, height=96, file_size=20_000_001)
        )
        server.say(
            1,
            animation=server.file(film(None), duration=1, width=96, height=96),
            document=server.file(b"x", mime_type="video/mp4"),
        )
        await until(lambda: len(server.to(1)) == 4)
        await settled(logbook)
        assert "is not a sound recording" in server.shown(1)[1]
        assert server.shown(1)[2].startswith(RECORDING_TOO_BIG)
        assert server.shown(1)[3].startswith("I take voice notes, photos")
        (kept,) = logbook.entries(after=before.seq)
        assert kept.kind is EntryKind.MESSAGE and kept.body["came_as"] == "bad_audio"
        assert kept.body["words"] == kept.body["taken_for"] == "" and not pool.sounds
