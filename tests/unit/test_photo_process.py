"""A picture is drawn in a process of its own: what it takes, and what it breaks, it takes and
breaks there.
"""

from __future__ import annotations

import asyncio
import sys

import pytest
from test_photo_cleaning import blank, picture

from doorround.channels.talk import photo_process
from doorround.channels.talk.photo_cleaning import BadPicture, clean
from doorround.channels.talk.photo_process import Lost, draw, draw_now
from doorround.messages.photos import DAMAGED, NOT_WORKED_OUT, TOO_LARGE, UNREADABLE

# a WebP of 16,000 × 3,700, all white; drawn in the program's own process it took 930 MB
WIDE = bytes.fromhex("524946461e000000574542505650384c110000002f7ffe9c0307d0fffef7bfff8188e87f0000")

ends = pytest.mark.skipif(sys.platform == "win32", reason="signals and limits of POSIX")


def runs(monkeypatch, code: str) -> None:
    """Have the process run this instead."""
    monkeypatch.setattr(photo_process, "_command", lambda: (sys.executable, "-c", code))


async def test_what_is_drawn_apart_is_what_would_be_drawn_here():
    raw = picture()
    assert await draw(raw) == draw_now(raw) == clean(raw)


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (WIDE, TOO_LARGE),
        (blank(8000, 8000), TOO_LARGE),
        (picture()[:-400], DAMAGED),
        (b"%PDF", UNREADABLE),
    ],
    ids=["a small file of many pixels", "many pixels", "cut off", "a page"],
)
async def test_what_cannot_be_kept_is_refused_with_what_to_do(raw, why):
    for refused in (draw(raw), asyncio.to_thread(draw_now, raw)):
        with pytest.raises(BadPicture) as bad:
            await refused
        assert str(bad.value) == why


@ends
async def test_what_takes_too_much_memory_is_refused(monkeypatch):
    limit = (
        "import sys; import doorround.channels.talk.photo_process as d; d.MAX_BYTES_OF_MEMORY = 150"
        " * 2**20; "
    )
    limit += "sys.exit(d.main())"
    runs(monkeypatch, limit)
    assert await draw(picture()) == clean(picture())
    with pytest.raises(BadPicture) as bad:
        await draw(blank(7000, 7000))
    assert str(bad.value) == TOO_LARGE


@ends
async def test_a_process_that_ends_or_hangs_ends_nothing_else(monkeypatch):
    runs(monkeypatch, "import os; os.kill(os.getpid(), 11)")
    for refused in (draw(b""), asyncio.to_thread(draw_now, b"")):
        with pytest.raises(Lost) as lost:
            await refused
        assert str(lost.value) == NOT_WORKED_OUT
    runs(monkeypatch, "import time; time.sleep(600)")
    monkeypatch.setattr(photo_process, "MAX_SECONDS", 0.2)
    for refused in (draw(b""), asyncio.to_thread(draw_now, b"")):
        with pytest.raises(Lost):
            await refused


async def test_a_process_is_ended_with_who_waits_for_it(monkeypatch, tmp_path):
    runs(monkeypatch, f"import time; open({str(tmp_path / 'begun')!r}, 'w'); time.sleep(600)")
    task = asyncio.create_task(draw(b""))
    while not (tmp_path / "begun").exists():
        await asyncio.sleep(0.01)
    task.cancel()
    # the process would sleep for ten minutes; who waits for it is let go at once
    with pytest.raises(asyncio.CancelledError):
        await asyncio.wait_for(task, 120)
