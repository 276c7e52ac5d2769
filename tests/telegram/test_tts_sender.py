"""Voice notes from the bot: questions read aloud to who wants it, and recordings played back."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from api_answers import refuse
from media import MediaStandIn, add_known_door, replies_to, settled
from service import DeafPool, prepare, serving, until

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.channels.messenger.retention import KeepingDays
from doorround.domain.input_result import Heard, Said
from doorround.domain.people import Account, Role
from doorround.domain.values import Condition
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.session.recognition_worker import AtQuestion
from doorround.logbook.chats import Chats
from doorround.logbook.people import People
from doorround.logbook.read_aloud_prefs import read_aloud_to
from doorround.logbook.store import Logbook
from doorround.messages.replying import NOT_READING, READING
from doorround.speaking.tts_cache import TtsCache
from doorround.speaking.voice import CannotSpeak, PackageVoice

DEMO = Path(__file__).parents[2] / "demo_conversations" / "voice"
ALL_CLEAR = (DEMO / "all-clear.ogg").read_bytes()
KEEPER = "caretaker 1"


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


class StubVoice:
    """Says a short recording for everything. go: what it waits for."""

    key = "stub"

    def __init__(self, why: str = "") -> None:
        self.go = threading.Event()
        self.words = []
        self._why = why
        self.go.set()

    def speak(self, words: str) -> bytes:
        self.words.append(words)
        self.go.wait(300)
        if self._why:
            raise CannotSpeak(self._why)
        return ALL_CLEAR


async def test_questions_are_read_aloud_from_the_word_on_and_until_the_word(home):
    voice = TtsCache(PackageVoice(), home / "spoken")
    async with MediaStandIn() as server, serving(home, server, spoken=voice) as logbook:
        await server.talk(1, "12")
        await settled(logbook)
        assert not server.voices(1)
        line = await server.talk(1, "read aloud")
        assert line["text"].startswith(READING) and read_aloud_to(logbook) == {KEEPER}
        await until(lambda: len(server.voices(1)) == 1)
        assert 3 < load_sound(server.voices(1)[0]).seconds < 20
        # the question first, then its voice
        assert [("file" in each) for each in server.to(1)[-2:]] == [False, True]
        await server.talk(1, "all clear")
        await until(lambda: len(server.voices(1)) == 2)
        await server.talk(1, "stop reading")
        assert NOT_READING in " ".join(server.shown(1)) and not read_aloud_to(logbook)
        await server.talk(1, "right and readable")
        await settled(logbook)
        assert len(server.voices(1)) == 2 and logbook.verify() == []


async def test_a_slow_voice_keeps_no_question_waiting_and_reads_only_what_is_open(home):
    voice = StubVoice()
    voice.go.clear()
    async with (
        MediaStandIn() as server,
        serving(home, server, spoken=TtsCache(voice, home / "spoken")) as logbook,
    ):
        await server.talk(
            1, "12", "read aloud", "all clear", "right and readable", "undamaged and firm"
        )
        assert not server.voices(1)
        voice.go.set()
        await until(lambda: len(server.voices(1)) == 1)
        await settled(logbook)
        assert len(server.voices(1)) == 1
        assert voice.words[-1] == "Frame: sound. This side, leaf: undamaged, no holes?"


async def test_a_voice_that_fails_is_one_line_in_the_log(home, caplog):
    voice = StubVoice("it has a cold")
    async with (
        MediaStandIn() as server,
        serving(home, server, spoken=TtsCache(voice, home / "spoken")) as logbook,
    ):
        await server.talk(1, "12", "read aloud", "all clear", "right and readable")
        await until(lambda: len(voice.words) >= 1)
        await settled(logbook)
        assert not server.voices(1) and "frame" in server.shown(1)[-1]
    assert sum("it has a cold" in record.message for record in caplog.records) == 1


async def test_a_voice_note_that_the_chat_refuses_holds_nothing_up(home):
    def mishap(method, given):
        return (
            refuse(400, "Bad Request: VOICE_MESSAGES_FORBIDDEN") if method == "sendvoice" else None
        )

    async with (
        MediaStandIn(mishap) as server,
        serving(home, server, spoken=TtsCache(StubVoice(), home / "spoken")) as logbook,
    ):
        await server.talk(1, "12", "read aloud")
        await until(lambda: any(method == "sendvoice" for method, _ in server.calls))
        assert "Sign" in (await server.talk(1, "all clear"))["text"]
        await settled(logbook)
        assert sum(method == "sendvoice" for method, _ in server.calls) <= 2


async def test_the_order_turns_it_on_and_off_where_no_check_is_open(home):
    with Logbook.open(home / "logbook.db") as logbook:
        people = People(logbook)
        now = logbook.entries()[0].at
        people.invite("DOOR-TEST-CODE", Role.CARETAKER, (), 7, "Mona", now)
        account = Account("telegram", "1")
        people.open_invite(account, "DOOR-TEST-CODE", "Ines", "agreed", now)
        name = people.join(account, now).name
        Chats(logbook).belong("telegram/1", name)

    def access_policy(logbook):
        return InvitedAccess(Access(logbook, tuple, 90, "", lambda count: bytes(count)))

    spoken = TtsCache(StubVoice(), home / "spoken")
    async with (
        MediaStandIn() as server,
        serving(home, server, access_policy=access_policy, spoken=spoken) as logbook,
    ):
        assert (await server.talk(1, "/aloud"))["text"] == READING
        assert read_aloud_to(logbook) == {name}
        assert (await server.talk(1, "Stop reading"))["text"] == NOT_READING
        assert (await server.talk(1, "read aloud"))["text"] == READING
        await server.talk(1, "12")
        await until(lambda: server.voices(1))


class OnePool(DeafPool):
    """Hears one answer, and something that it did not understand behind it."""

    async def hear(self, recording: bytes, wanted: object):
        if not isinstance(wanted, AtQuestion):
            return await super().hear(recording, wanted)
        said = Said(
            question=wanted.expected.open.key, value=Condition(), phrase="all clear", at=(0.0, 0.5)
        )
        digest = load_sound(recording).sha256
        return Heard(
            said=(said,),
            words="all clear",
            audio_sha256=digest,
            unheard=("0:00",),
            lost=((0.4, 0.9),),
        )


async def test_what_was_not_understood_is_played_back_as_a_voice_note(home):
    kept = KeepingDays(home / "recordings")
    async with MediaStandIn() as server, serving(home, server, OnePool(), kept=kept) as logbook:
        await server.talk(1, "12")
        server.say(1, voice=server.file(ALL_CLEAR, duration=1))
        await until(lambda: len(server.to(1)) > 1)
        await settled(logbook)
        await server.talk(1, "play that")
        await until(lambda: server.voices(1))
        [played] = [message for message in server.to(1) if "file" in message]
        assert played["text"] == "At 0:00 you said this."
        assert 0.5 < load_sound(played["file"]).seconds < 1.2
        await until(lambda: "Sign" in server.shown(1)[-1])
        # deleted since: its words come, and what it was is said
        for file in (home / "recordings").iterdir():
            file.unlink()
        await server.talk(1, "play that")
        await until(lambda: "The recording is gone." in " ".join(server.shown(1)))


async def test_a_reply_to_what_was_read_aloud_answers_its_question(home):
    async with (
        MediaStandIn() as server,
        serving(home, server, spoken=TtsCache(StubVoice(), home / "spoken")) as logbook,
    ):
        await server.talk(1, "12", "read aloud")
        await until(lambda: server.voices(1))
        await settled(logbook)
        aloud = next(message for message in server.to(1) if "file" in message)
        await server.talk(1, "skip")
        server.say(1, "all clear", **replies_to(aloud["id"]))
        await until(lambda: logbook.answers(logbook.checks()[0].id))
        assert logbook.answers(logbook.checks()[0].id)[0].question == "clear"
