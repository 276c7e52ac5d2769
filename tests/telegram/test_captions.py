"""Words typed under a voice note: noted beside what was said, whatever came of that; and which site
a door is of.
"""

import pytest
from media import MediaStandIn, WordsPool, add_known_door, settled
from service import NOON, prepare, serving, until

from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.logbook.chats import Chats
from doorround.logbook.store import Logbook
from doorround.messages.receiving import RECORDING_TOO_BIG


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


def notes(logbook):
    return [
        (entry.check is not None, entry.body["text"])
        for entry in logbook.entries()
        if entry.kind is EntryKind.NOTED
    ]


async def test_a_caption_is_a_note_and_the_voice_note_its_answer(home):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        await server.talk(1, "12")
        server.note(1, "all clear", caption="a bucket stood there, moved")
        await until(lambda: "Sign" in server.shown(1)[-1])
        await settled(logbook)
        assert notes(logbook) == [(True, "a bucket stood there, moved")]
        assert "Noted: “a bucket stood there, moved”." in server.shown(1)
        answers = [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]
        assert [(each.body["question"], each.body["by"]) for each in answers] == [
            ("clear", "voice")
        ]


@pytest.mark.parametrize("words", ("undamaged", "yes", "finish"))
async def test_a_caption_answers_nothing_whatever_it_says(home, words):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.note(1, "mumble", caption=words)
        await until(lambda: len(server.to(1)) == 3)
        await settled(logbook)
        assert notes(logbook) == [(True, words)]
        assert not any(entry.kind is EntryKind.ANSWERED for entry in logbook.entries())


async def test_a_caption_stays_where_its_recording_cannot_be_had(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.say(
            1, voice=server.file(b"x", duration=1, file_size=20_000_001), caption="closer leaks oil"
        )
        await until(lambda: any(text.startswith(RECORDING_TOO_BIG) for text in server.shown(1)))
        assert notes(logbook) == [(True, "closer leaks oil")]


async def test_a_caption_where_no_check_is_open_is_noted_by_itself(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        server.note(1, "mumble", caption="lobby light is out")
        await until(lambda: server.to(1))
        await settled(logbook)
        assert notes(logbook) == [(False, "lobby light is out")] and logbook.verify() == []


async def test_a_check_says_at_which_site_it_is_where_there_are_several(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        assert (await server.talk(1, "12"))["text"].startswith("Door 12. FD30S.")
        await server.talk(1, "cancel", "yes")
        logbook.add_door(Door(number="20", site="Barn", place="loft"), "Mona", NOON)
        assert (await server.talk(1, "12"))["text"].startswith("Door 12: Alder House. FD30S.")
        await server.talk(1, "cancel", "yes")
        assert (await server.talk(1, "20"))["text"].startswith("Door 20: Barn, loft.")


async def test_two_doors_of_one_number_may_be_begun_in_the_same_second(home):
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.add_door(Door(number="12", site="Barn"), "Mona", NOON)
        logbook.add_person("caretaker 2", "caretaker", NOON)
        Chats(logbook).belong("telegram/2", "caretaker 2")
    async with MediaStandIn() as server, serving(home, server) as logbook:
        for chat, site in ((1, "Alder House"), (2, "Barn")):
            server.say(chat, "12", date=1_780_000_000)
            await until(lambda chat=chat: server.to(chat))
            tap = next(each for each in server.to(chat)[-1]["buttons"] if site in each["text"])
            server.say(chat, tap["text"], date=1_780_000_000)
            await until(lambda chat=chat, site=site: f"Door 12: {site}" in server.shown(chat)[-1])
        assert len({check.id for check in logbook.checks()}) == 2
