"""Who may not, cannot: by number, name, label or button."""

import pytest
from house import (
    ADA,
    ALDER,
    BARN,
    EVE,
    KIM,
    MONA,
    SAM,
    at_work,
    done,
    join,
    label,
    said,
    settle,
    tap_of,
)
from service import NOON, DeafPool, until
from standin import StandIn

from doorround.domain.entries import EntryKind
from doorround.domain.people import Role
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    return tmp_path


def started(logbook):
    return [
        (entry.person, entry.door)
        for entry in logbook.entries()
        if entry.kind is EntryKind.CHECK_STARTED
    ]


async def test_a_caretaker_of_one_site_begins_no_door_of_another(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        ways = (
            "14",
            "/door 14",
            "door fourteen",
            "alder house",
            label(ALDER),
            "/next",
            "/start d1axxxxxxxxxxxxxxxxxxxx",
        )
        updates = [server.write(KIM, text) for text in ways]
        server.write(SAM, "alder house")
        theirs = await said(server, SAM, "Door 14")
        yes = theirs["buttons"][0]["callback_data"]
        updates += [server.tap(KIM, yes), server.write(KIM, "yes")]
        await done(logbook, *updates)
        assert not any(person == "Kim" for person, _ in started(logbook))
        assert any("You may not check door 14" in message["text"] for message in server.to(KIM))
        assert not any("Alder" in message["text"] for message in server.to(KIM))
        server.write(KIM, label(BARN))
        await said(server, KIM, "Door 20")
        assert ("Kim", "20") in started(logbook)


async def test_a_button_offered_before_the_site_was_taken_away_begins_nothing(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, "/door")
        offered = tap_of(await said(server, SAM, "Which door"), "door 14")
        People(logbook).change_role("Sam", Role.CARETAKER, ("Barn",), "Mona", NOON)
        await done(logbook, server.tap(SAM, offered))
        assert started(logbook) == []


async def test_an_auditor_reads_and_does_nothing_else(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, label(ALDER))
        button = (await said(server, SAM, "Door 14"))["buttons"][0]["callback_data"]
        before = logbook.head()
        texts = (
            "/door",
            "/next",
            "/skip",
            "/handover Sam",
            "/invite auditor",
            "/people",
            "/role supervisor Ada",
        )
        updates = [
            server.write(ADA, text)
            for text in (*texts, "/remove Sam yes", "/bind Barn", "yes", "undamaged")
        ]
        updates += [server.tap(ADA, button), server.voice(ADA, b"fourteen")]
        await done(logbook, *updates)
        assert logbook.head() == before
        for way in ("14", "/look 14", label(ALDER)):
            await done(logbook, server.write(ADA, way))
            read = server.to(ADA)[-1]["text"]
            assert read.startswith(
                "Door 14: Alder House.\nNever fully checked.\nOpen check by Sam, since 28 May 2026"
            )
        server.write(ADA, "/mydata")
        await until(lambda: any("file" in message for message in server.to(ADA)))


async def test_an_auditor_of_one_site_reads_of_no_other(home):
    with Logbook.open(home / "logbook.db") as logbook:
        join(logbook, 5, "Bea", Role.AUDITOR, ("Barn",))
    async with StandIn() as server, at_work(home, server) as logbook:
        updates = [server.write(5, text) for text in ("14", "/look 14", label(ALDER))]
        await done(logbook, *updates)
        server.write(5, "20")
        await said(server, 5, "Door 20: Barn.")
        assert not any("Alder" in message["text"] for message in server.to(5))


async def test_the_unknown_get_one_line_and_begin_nothing(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        before = logbook.head()
        updates = [
            server.write(EVE, text)
            for text in (label(ALDER), "14", "/people", "/mydata", "/look 14", "/leave yes")
        ]
        server.write(MONA, "/invite")
        taps = await said(server, MONA, "Who do you want to invite?")
        updates += [server.tap(EVE, button["callback_data"]) for button in taps["buttons"]]
        await done(logbook, *updates)
        assert len(server.to(EVE)) == 1 and logbook.head() == before and EVE not in server.menus


async def test_a_role_taken_away_while_a_voice_note_is_heard_stops_it(home):
    class Slow:
        async def hear(self, recording, wanted):
            People(logbook).change_role("Sam", Role.AUDITOR, None, "Mona", NOON)
            return await DeafPool().hear(recording, wanted)

    async with StandIn() as server, at_work(home, server, pool=Slow()) as logbook:
        await done(logbook, server.voice(SAM, b"fourteen"))
        await said(server, SAM, "Which door? Send its number")
        assert logbook._rows("SELECT * FROM door_search") == []


async def test_a_private_chat_is_its_owners_alone(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        before = logbook.head()
        message = {
            "message_id": 1,
            "date": 1,
            "chat": {"id": MONA, "type": "private"},
            "text": "/invite supervisor",
        }
        await done(
            logbook,
            server.give(
                message={**message, "from": {"id": EVE, "is_bot": False, "first_name": "Eve"}}
            ),
        )
        assert server.sent == [] and logbook.head() == before
