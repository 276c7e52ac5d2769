"""Captions of photos on Telegram: what they tell is taken up once, even without the photo."""

import pytest
from media import MediaStandIn, add_known_door, picture, settled
from service import prepare, serving, until

from doorround.domain.entries import EntryKind


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


def notes(logbook):
    found = [each for each in logbook.entries() if each.kind is EntryKind.NOTED]
    return [(each.door, each.body["text"]) for each in found]


def answers(logbook):
    found = [each for each in logbook.entries() if each.kind is EntryKind.ANSWERED]
    return [each.body["question"] for each in found]


async def test_a_fault_in_a_caption_is_entered_and_its_words_are_noted(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.photo(1, picture(), caption="wedged open")
        await until(lambda: "clear" in answers(logbook))
        await settled(logbook)
        assert notes(logbook) == [("12", "wedged open")]
        shown = "\n".join(server.shown(1)[1:])
        assert "Photo kept with Doorway. Noted: “wedged open”." in shown
        assert "ACT NOW" in shown and "Right and readable?" in shown
        assert server.to(1)[-1]["buttons"][0]["text"] == "right and readable"
        assert logbook.verify() == []


@pytest.mark.parametrize("caption", ["yes", "Yes, right", "no", "finish", "/cancel", "all clear"])
async def test_no_caption_settles_what_is_read_back(home, caption):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        read_back = await server.talk(1, "12", "I think it's all clear")
        server.photo(1, picture(), caption=caption)
        await until(lambda: notes(logbook))
        await settled(logbook)
        assert notes(logbook) == [("12", caption)] and answers(logbook) == []
        # its buttons are still those of the open read-back
        server.tap(1, read_back["buttons"][0]["callback_data"])
        await until(lambda: answers(logbook) == ["clear"])


async def test_a_caption_of_an_album_is_taken_once(home):
    async with MediaStandIn() as server:
        server.say(1, "12")
        for place, colour in enumerate(("green", "blue")):
            words = {"caption": "wedged open"} if place == 0 else {}
            server.photo(1, picture(colour), media_group_id="77", **words)
        async with serving(home, server) as logbook:
            await until(lambda: len(answers(logbook)) == 1)
            await settled(logbook)
            assert answers(logbook) == ["clear"] and notes(logbook) == [("12", "wedged open")]
            kept = [each for each in server.shown(1) if each.startswith("2 photos kept")]
            assert kept == ["2 photos kept with Doorway. Noted: “wedged open”."]


async def test_the_caption_of_a_photo_that_cannot_be_kept_is_kept(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.photo(1, picture()[:200], caption="wedged open")
        await until(lambda: "clear" in answers(logbook))
        assert notes(logbook) == [("12", "wedged open")]
        assert not any(each.kind is EntryKind.PHOTOGRAPHED for each in logbook.entries())


async def test_a_fault_in_a_caption_after_the_signature_is_noted_with_its_door(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12", "finish", "finish")
        server.photo(1, picture(), caption="forgot, the leaf's split")
        await until(lambda: any("I've noted" in each for each in server.shown(1)))
        await settled(logbook)
        assert notes(logbook) == [("12", "forgot, the leaf's split")] and answers(logbook) == []


async def test_a_changed_caption_changes_its_note_and_its_answer(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        photo = server.photo(1, picture(), caption="wedged open")
        await until(lambda: answers(logbook) == ["clear"])
        await settled(logbook)
        same = next(
            each["message"] for each in server.seen if each["message"]["message_id"] == photo
        )
        server.give(edited_message={**same, "caption": "propped open", "edit_date": same["date"]})
        await until(lambda: answers(logbook) == ["clear", "clear"])
        await settled(logbook)
        assert notes(logbook) == [("12", "wedged open"), ("12", "propped open")]


async def test_a_voice_notes_caption_tells_a_fault_beside_it(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.note(1, "mumble", caption="wedged open")
        await until(lambda: answers(logbook) == ["clear"])
        await settled(logbook)
        assert notes(logbook) == [("12", "wedged open")]
