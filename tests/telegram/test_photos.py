"""Photos in the chat: what they are kept with, one line for an album, and nothing lost."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest
from media import MediaStandIn, add_known_door, picture, replies_to
from service import prepare, serving, until

from doorround.domain.entries import EntryKind
from doorround.logbook.listing import show_lines
from doorround.logbook.photos import photos, tidy_photos
from doorround.logbook.recordings import own_data
from doorround.messages.photos import DAMAGED, TOO_BIG
from doorround.messages.receiving import NONE_OF_THESE


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    add_known_door(tmp_path)
    return tmp_path


def of_kind(logbook, kind):
    return [entry for entry in logbook.entries() if entry.kind is kind]


async def test_a_photo_is_kept_with_the_open_question_and_the_question_stays(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.say(1, "12")
        await until(lambda: server.to(1))
        button = server.to(1)[0]["buttons"][0]["callback_data"]
        server.photo(1, picture(), caption="by the post room")
        await until(lambda: len(server.to(1)) == 2)
        assert server.shown(1)[1] == "Photo kept with Doorway. Noted: “by the post room”."
        [entry] = of_kind(logbook, EntryKind.PHOTOGRAPHED)
        [note] = of_kind(logbook, EntryKind.NOTED)
        assert entry.body["question"] and entry.check and entry.door == "12"
        file = home / "photos" / f"{entry.body['photo_sha256']}.jpg"
        assert (
            hashlib.sha256(file.read_bytes()).hexdigest()
            == entry.body["photo_sha256"]
            == note.body["photo_sha256"]
        )
        assert b"Some Maker" not in file.read_bytes()
        lines = "\n".join(show_lines(logbook))
        assert (
            f"Photo {file.stem[:8]}: Doorway" in lines
            and f'"by the post room" (photo {file.stem[:8]})' in lines
        )
        server.tap(1, button)
        await until(lambda: of_kind(logbook, EntryKind.ANSWERED))
        assert logbook.verify() == []


async def test_a_photo_in_reply_goes_with_the_fault_that_was_told(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        told = await server.talk(
            1, "12", "all clear", "right and readable", "undamaged and firm", "cracked"
        )
        server.photo(1, picture(), **replies_to(told["id"]))
        await until(lambda: server.to(1)[-1]["id"] != told["id"])
        [answer] = [
            each
            for each in of_kind(logbook, EntryKind.ANSWERED)
            if each.body["component"] == "leaf"
        ]
        [photo] = photos(logbook)
        assert (photo.question, photo.answer) == (answer.body["question"], answer.body["id"])
        assert server.shown(1)[-1] == "Photo kept with Leaf, this side."


async def test_a_photo_after_a_fault_is_of_the_fault_until_something_else_is_answered(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(
            1, "12", "all clear", "right and readable", "undamaged and firm", "cracked"
        )
        server.photo(1, picture())
        await until(lambda: server.shown(1)[-1] == "Photo kept with Leaf, this side.")
        [answer] = [
            each
            for each in of_kind(logbook, EntryKind.ANSWERED)
            if each.body["component"] == "leaf"
        ]
        assert [(each.question, each.answer) for each in photos(logbook)] == [
            ("leaf.here", answer.body["id"])
        ]
        await server.talk(1, "whole and firm")
        server.photo(1, picture("blue"))
        await until(lambda: server.shown(1)[-1].startswith("Photo kept with Gap"))
        # what is read back is what a photo shows, too
        await server.talk(1, "I think eight")
        server.photo(1, picture("white"))
        await until(lambda: len(of_kind(logbook, EntryKind.PHOTOGRAPHED)) == 3)
        await until(lambda: server.shown(1)[-1] == "Photo kept with Gap at head and sides.")


async def test_an_album_is_kept_whole_and_answered_with_one_line(home):
    async with MediaStandIn() as server:
        server.say(1, "12")
        for place, colour in enumerate(("green", "blue", "yellow")):
            words = {"caption": "both edges"} if place == 0 else {}
            server.photo(1, picture(colour), media_group_id="77", **words)
        async with serving(home, server) as logbook:
            await until(lambda: len(server.to(1)) == 2)
            assert server.shown(1)[1] == "3 photos kept with Doorway. Noted: “both edges”."
            assert len(photos(logbook)) == 3
            # a part that was late changes what was said before
            server.photo(1, picture("white"), media_group_id="77")
            await until(lambda: server.shown(1)[1].startswith("4 photos"))
            assert len(server.to(1)) == 2
            assert len(of_kind(logbook, EntryKind.NOTED)) == 1


async def test_a_damaged_part_of_an_album_is_told_and_the_others_are_kept(home):
    async with MediaStandIn() as server:
        server.say(1, "12")
        for content in (picture("green"), picture("blue")[:-300], picture("white")):
            server.photo(1, content, media_group_id="78")
        async with serving(home, server) as logbook:
            await until(lambda: len(server.to(1)) == 3)
            assert server.shown(1)[1:] == [DAMAGED, "2 photos kept with Doorway."]
            assert len(photos(logbook)) == 2


async def test_a_picture_sent_as_a_file_is_a_photo_and_a_page_is_not_taken(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.say(1, "12")
        server.say(1, document=server.file(picture(), mime_type="image/jpeg", file_name="door.jpg"))
        server.say(
            1, document=server.file(b"%PDF", mime_type="application/pdf"), caption="undamaged"
        )
        await until(lambda: len(server.to(1)) == 3)
        assert len(photos(logbook)) == 1
        assert server.shown(1)[2].startswith(NONE_OF_THESE)
        assert not of_kind(logbook, EntryKind.ANSWERED)


async def test_heic_sent_as_a_file_is_kept_as_a_photo(home):
    heic = (Path(__file__).parents[1] / "unit" / "door.heic").read_bytes()
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.say(1, "12")
        server.say(
            1,
            document=server.file(heic, mime_type="image/heic", file_name="door.heic"),
            caption="the frame",
        )
        await until(lambda: len(server.to(1)) == 2)
        [photo] = photos(logbook)
        assert server.shown(1)[1] == "Photo kept with Doorway. Noted: “the frame”."
        assert (home / "photos" / f"{photo.sha256}.jpg").read_bytes().startswith(b"\xff\xd8")


@pytest.mark.parametrize("told", [True, False])
async def test_a_picture_too_big_to_fetch_is_told_at_once(home, told):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.say(1, "12")
        size = {"file_size": 20_000_001} if told else {}
        server.say(1, document=server.file(bytes(20_000_001), mime_type="image/png", **size))
        await until(lambda: len(server.to(1)) == 2)
        assert server.shown(1)[1] == TOO_BIG
        assert not photos(logbook)


async def test_a_photo_before_any_door_is_kept_by_itself(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.photo(1, picture(), caption="this one")
        await until(lambda: server.to(1))
        assert server.shown(1)[0].startswith("No check is open, so the photo is kept on its own.")
        [photo] = photos(logbook)
        assert photo.check is None and photo.person == "caretaker 1"
        assert of_kind(logbook, EntryKind.NOTED)[0].body["text"] == "this one"
        assert "no check open" in "\n".join(show_lines(logbook))


async def test_a_photo_for_a_closed_check_is_kept_beside_it(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        sign = await server.talk(1, "12", "all clear")
        await server.talk(1, "cancel", "yes")
        server.photo(1, picture(), **replies_to(sign["id"]))
        await until(lambda: "kept on its own" in server.shown(1)[-1])
        [photo] = of_kind(logbook, EntryKind.PHOTOGRAPHED)
        assert photo.check is None
        assert photo.body["of"]["check"] == of_kind(logbook, EntryKind.CANCELLED)[0].check


async def test_photos_stand_in_ones_own_data_and_go_only_where_days_are_set(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.say(1, "12")
        server.photo(1, picture())
        await until(lambda: len(server.to(1)) == 2)
        [photo] = photos(logbook)
        data = own_data(logbook, "caretaker 1", home / "recordings", photo.at)
        assert data["photos"] == [{"sha256": photo.sha256, "stored": True}]
        assert json.dumps(data)
        await server.talk(1, "finish", "finish")
        signed = of_kind(logbook, EntryKind.SIGNED)[0].at
        assert tidy_photos(
            logbook, home / "photos", 1, signed.replace(year=signed.year + 1), dry_run=True
        ).delete
        assert (home / "photos" / f"{photo.sha256}.jpg").is_file()
        tidy_photos(logbook, home / "photos", 1, signed.replace(year=signed.year + 1))
        assert not (home / "photos" / f"{photo.sha256}.jpg").exists()
        assert "Deleted 1 photo of signed checks after 1 days" in "\n".join(show_lines(logbook))
