"""Everything at once after a dead spot is taken in order."""

from __future__ import annotations

import pytest
from media import MediaStandIn, WordsPool, add_known_door, picture
from service import DeafPool, prepare, serving, until

from doorround.logbook.photos import photos


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


def notes(logbook):
    return [row[0] for row in logbook._rows("SELECT text FROM notes ORDER BY seq")]


async def test_a_burst_after_a_dead_spot_is_taken_in_order(home):
    async with MediaStandIn() as server:
        server.say(1, "12")
        server.note(1, "all clear")
        server.photo(1, picture("blue"), caption="the sign", media_group_id="5")
        server.photo(1, picture("white"), media_group_id="5")
        sign = server.say(1, "right and readable")
        server.note(1, "undamaged and firm")
        server.photo(1, picture())
        server.note(1, "cracked")
        server.change(1, sign, text="no sign")
        async with serving(home, server, WordsPool()) as logbook:
            await until(
                lambda: (
                    len(logbook.answers_given(logbook.checks()[0].id)) == 5
                    if logbook.checks()
                    else False
                )
            )
            given = [
                (each.answer.id, each.answer.by.value)
                for each in logbook.answers_given(logbook.checks()[0].id)
            ]
            assert given == [
                ("clear#1", "voice"),
                ("sign.here#1", "typing"),
                ("frame.here#1", "voice"),
                ("leaf.here#1", "voice"),
                ("sign.here#2", "changed message"),
            ]
            assert [each.question for each in photos(logbook)] == [
                "sign.here",
                "sign.here",
                "leaf.here",
            ]
            assert notes(logbook) == ["the sign"]
            await until(lambda: "glass" in server.shown(1)[-1])
            assert [text for text in server.shown(1) if "kept with" in text] == [
                "2 photos kept with Sign, this side. Noted: “the sign”.",
                "Photo kept with Leaf, this side.",
            ]
            assert logbook.verify() == []


async def test_a_photo_does_not_stop_the_recording_behind_it(home):
    """A damaged picture between two recordings: told, and the rest is taken."""
    pool = DeafPool()
    async with MediaStandIn() as server:
        server.say(1, "12")
        server.note(1, "one")
        server.photo(1, picture()[:-200])
        server.note(1, "two")
        async with serving(home, server, pool):
            await until(lambda: pool.heard == [b"one", b"two"])
