"""A door is added at the door, on Telegram, with a photo of it."""

from __future__ import annotations

import pytest
from media import MediaStandIn, picture
from service import prepare, serving, until

from doorround.domain.entries import EntryKind
from doorround.messages.new_door import SEND_PHOTO, WHERE, WHICH_NUMBER


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


async def test_a_new_door_is_typed_photographed_and_its_first_check_goes_on(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        for text, shown in (
            ("new door", WHICH_NUMBER),
            ("99", WHERE),
            ("second floor, by stair B", None),
        ):
            before = len(server.shown(1))
            server.say(1, text)
            await until(lambda before=before: len(server.shown(1)) > before)
            assert shown is None or server.shown(1)[-1] == shown
        asked = server.to(1)[-1]
        assert "second floor, by stair B. Add it and check it now?" in asked["text"]
        server.tap(1, asked["buttons"][0]["callback_data"])
        await until(lambda: any(SEND_PHOTO in text for text in server.shown(1)))
        server.photo(1, picture())
        await until(lambda: [e for e in logbook.entries() if e.kind is EntryKind.PHOTOGRAPHED])
        kinds = [entry.kind for entry in logbook.entries()]
        added = next(e for e in logbook.entries()[::-1] if e.kind is EntryKind.DOOR_ADDED)
        assert (added.door, added.body["floor"], added.body["place"]) == (
            "99",
            "second floor",
            "by stair B",
        )
        assert kinds.index(EntryKind.CHECK_STARTED) < kinds.index(EntryKind.PHOTOGRAPHED)
        [photo] = [entry for entry in logbook.entries() if entry.kind is EntryKind.PHOTOGRAPHED]
        assert photo.door == "99" and photo.check == logbook.checks()[-1].id
        assert logbook.verify() == []
