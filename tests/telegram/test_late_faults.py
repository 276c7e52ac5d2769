"""What is told on Telegram once a check is signed: a fault is noted, by whatever way it comes."""

import pytest
from media import MediaStandIn, add_known_door, settled
from service import prepare, serving, until

from doorround.domain.entries import EntryKind
from doorround.domain.input_result import OffGrammar
from doorround.hearing.session.recognition_worker import AtWhichDoor


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


class TranscribingPool:
    """Hears each recording as its own words, if it knows of the check that has just ended."""

    async def hear(self, recording, wanted):
        assert isinstance(wanted, AtWhichDoor) and wanted.ended is not None
        return OffGrammar(transcript=recording.decode(), audio_sha256="a" * 64)


def notes(logbook):
    found = [each for each in logbook.entries() if each.kind is EntryKind.NOTED]
    return [(each.door, each.body["text"], each.body["audio_sha256"]) for each in found]


async def sign(server):
    """The buttons of the first question of a check that is then signed."""
    first = await server.talk(1, "12")
    await server.talk(1, "finish", "finish")
    return first["buttons"]


async def test_a_fault_tapped_after_the_signature_is_noted_and_no_other_button(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        buttons = await sign(server)
        count = len(server.to(1))
        by_words = {each["text"]: each["callback_data"] for each in buttons}
        server.tap(1, by_words["all clear"])
        server.tap(1, by_words["wedged open"])
        await until(lambda: any("I've noted" in each for each in server.shown(1)[count:]))
        await settled(logbook)
        assert notes(logbook) == [("12", "Doorway: wedged open", None)]
        assert not any(each.kind is EntryKind.ANSWERED for each in logbook.entries())
        assert logbook.verify() == []


async def test_a_fault_spoken_after_the_signature_is_noted_with_its_recording(home):
    async with MediaStandIn() as server, serving(home, server, TranscribingPool()) as logbook:
        await sign(server)
        server.voice(1, b"Forgot, the leaf's split.")
        await until(lambda: any("I've noted" in each for each in server.shown(1)))
        await settled(logbook)
        assert notes(logbook) == [("12", "Forgot, the leaf's split.", "a" * 64)]
        assert "\nWhich door are you at?" in server.shown(1)[-1]
