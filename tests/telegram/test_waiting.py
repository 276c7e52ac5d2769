"""What cannot be had at once: a file that Telegram does not give, a place at the pool, an update.
Nobody waits for ever, nothing is lost, and nothing late is taken for an answer to something else.
"""

import asyncio
from datetime import timedelta

import pytest
from api_answers import refuse, well
from media import MediaStandIn, WordsPool, add_known_door, picture, replies_to, settled
from service import NOON, DeafPool, prepare, serving, until
from standin import StandIn

from doorround.channels.messenger.inbound.prepared import Patience
from doorround.channels.telegram.transport.polling import MAX_HASTY_S
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, RecordingProblem
from doorround.logbook.inbox import Inbox
from doorround.logbook.photos import photos
from doorround.messages.photos import LATER
from doorround.messages.receiving import IN_LINE, RECORDING_GONE, RECORDING_LATER, VOICE_NOTE_LATE
from doorround.messages.recordings import BUSY

SOON = Patience(held=0.3, later=0.3, in_line=0.2)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    add_known_door(tmp_path)
    return tmp_path


class Slower:
    """Says "slower" whenever a file is asked for, until it is over."""

    def __init__(self, seconds=1):
        self.over = False
        self.asked = 0
        self._seconds = seconds

    def __call__(self, method, given):
        if method != "getfile" or self.over:
            return None
        self.asked += 1
        return refuse(
            429, f"Too Many Requests: retry after {self._seconds}", retry_after=self._seconds
        )


def spoken(logbook):
    return [
        each
        for each in logbook.entries()
        if each.kind is EntryKind.ANSWERED and each.body["by"] == "voice"
    ]


@pytest.mark.parametrize("seconds", (1, 3600))
async def test_a_recording_not_given_holds_its_chat_for_a_while_only_and_is_heard_once_it_comes(
    home, seconds
):
    slower = Slower(seconds)
    async with (
        MediaStandIn(slower) as server,
        serving(home, server, WordsPool(), patience=SOON) as logbook,
    ):
        await server.talk(1, "12")
        note = server.note(1, "all clear")
        await until(lambda: RECORDING_LATER in server.shown(1)[1:])
        assert server.to(1)[1]["given"]["reply_parameters"] and not spoken(logbook)
        assert f'"message_id": {note}' in server.to(1)[1]["given"]["reply_parameters"]
        await until(lambda: slower.asked > 2)
        slower.over = True
        await until(lambda: len(server.to(1)) == 3)
        await settled(logbook)
        assert len(spoken(logbook)) == 1
        assert server.shown(1).count(RECORDING_LATER) == 1 and "Sign" in server.shown(1)[-1]


async def test_a_recording_that_comes_when_the_talk_has_moved_on_is_kept_and_answers_nothing(home):
    slower = Slower()
    async with (
        MediaStandIn(slower) as server,
        serving(home, server, WordsPool(), patience=SOON) as logbook,
    ):
        await server.talk(1, "12")
        server.note(1, "all clear")
        await until(lambda: RECORDING_LATER in server.shown(1)[1:])
        await server.talk(1, "wedged open")
        slower.over = True
        await until(lambda: VOICE_NOTE_LATE in server.shown(1)[-1])
        await settled(logbook)
        assert not spoken(logbook)
        recordings = [path.read_bytes() for path in (home / "recordings").iterdir()]
        assert recordings == [b"all clear"]


async def test_a_reply_says_what_it_is_about_however_late_its_recording_comes(home):
    slower = Slower()
    async with (
        MediaStandIn(slower) as server,
        serving(home, server, WordsPool(), patience=SOON) as logbook,
    ):
        first = await server.talk(1, "12")
        server.note(1, "wedged open", **replies_to(first["id"]))
        await until(lambda: RECORDING_LATER in server.shown(1)[1:])
        await server.talk(1, "skip")
        slower.over = True
        await until(lambda: spoken(logbook))
        assert spoken(logbook)[0].body["question"] == "clear"


async def test_a_stop_while_a_recording_is_not_given_loses_it_not(home):
    slower = Slower()
    async with MediaStandIn(slower) as server:
        async with serving(home, server, WordsPool(), patience=SOON) as logbook:
            await server.talk(1, "12")
            server.note(1, "all clear")
            await until(lambda: RECORDING_LATER in server.shown(1)[1:])
            assert len(Inbox(logbook).waiting()) == 1
        slower.over = True
        async with serving(home, server, WordsPool(), patience=SOON) as logbook:
            await until(lambda: spoken(logbook))
            await settled(logbook)
        assert server.shown(1).count(RECORDING_LATER) == 1


async def test_after_a_day_a_recording_is_given_up_and_its_sender_told(home):
    now = NOON
    async with (
        MediaStandIn(Slower()) as server,
        serving(home, server, patience=SOON, clock=lambda: now) as logbook,
    ):
        await server.talk(1, "12")
        server.note(1, "all clear")
        await until(lambda: RECORDING_LATER in server.shown(1)[1:])
        now = NOON + timedelta(hours=25)
        await until(lambda: RECORDING_GONE in server.shown(1))
        await settled(logbook)


async def test_a_photo_that_comes_when_the_talk_has_moved_on_is_kept_by_itself(home):
    slower = Slower()
    async with MediaStandIn(slower) as server, serving(home, server, patience=SOON) as logbook:
        await server.talk(1, "12")
        server.photo(1, picture())
        await until(lambda: LATER in server.shown(1)[1:])
        await server.talk(1, "all clear")
        slower.over = True
        await until(lambda: "That photo has only just come in" in server.shown(1)[-1])
        [photo] = photos(logbook)
        assert photo.check is None and (home / "photos" / f"{photo.sha256}.jpg").is_file()


class OneAtATime(WordsPool):
    """Never done with its first recording until it may go on."""

    def __init__(self):
        super().__init__()
        self.go = asyncio.Event()
        self.inside = 0

    async def hear(self, recording, wanted):
        self.inside += 1
        await self.go.wait()
        return await super().hear(recording, wanted)


async def test_who_waits_long_for_a_place_is_told_once_and_is_heard_without_sending_again(home):
    pool = OneAtATime()
    async with (
        MediaStandIn() as server,
        serving(home, server, pool, places=1, patience=SOON) as logbook,
    ):
        await server.talk(1, "12")
        await server.talk(2, "2")
        server.note(2, "anything")
        await until(lambda: pool.inside == 1)
        server.note(1, "all clear")
        await until(lambda: server.shown(1)[-1] == IN_LINE)
        assert pool.inside == 1 and not spoken(logbook)
        # stored before it is its turn
        assert b"all clear" in [path.read_bytes() for path in (home / "recordings").iterdir()]
        pool.go.set()
        await until(lambda: spoken(logbook))
        await settled(logbook)
        assert server.shown(1).count(IN_LINE) == 1 and "Sign" in server.shown(1)[-1]


class FullPool(WordsPool):
    """Turns a recording away some times, as a pool does whose line is full."""

    def __init__(self):
        super().__init__()
        self.left = 3

    async def hear(self, recording, wanted):
        if self.left:
            self.left -= 1
            return BadAudio(advice=BUSY, problem=RecordingProblem.BUSY)
        return await super().hear(recording, wanted)


async def test_a_recording_that_a_full_line_turned_away_is_heard_by_itself_later(home):
    pool = FullPool()
    async with MediaStandIn() as server, serving(home, server, pool) as logbook:
        await server.talk(1, "12")
        server.note(1, "all clear")
        await until(lambda: spoken(logbook))
        await settled(logbook)
        assert pool.left == 0 and len(spoken(logbook)) == 1
        assert BUSY not in " ".join(server.shown(1))


class Hasty(StandIn):
    """Holds no poll open. again: gives what it has for ever, whatever was confirmed."""

    def __init__(self, again=False):
        super().__init__()
        self.always = again

    async def _getupdates(self, given):
        if self.always:
            return well(self.updates)
        return await super()._getupdates({**given, "timeout": 0})

    @property
    def polls(self):
        return sum(method == "getupdates" for method, _ in self.calls)


def most_polls(seconds):
    """In so long, with pauses of 0.01 s and more, each twice the one before: 9 in a second.

    Without them, hundreds.
    """
    pause = 0.01
    over = 0.0
    count = 2
    while over <= seconds:
        over = over + pause
        pause = min(2 * pause, MAX_HASTY_S / 2)
        count = count + 1
    return count


@pytest.mark.parametrize("again", (False, True))
async def test_a_server_that_holds_no_poll_open_is_not_asked_without_a_pause(home, again):
    async with Hasty(again) as server, serving(home, server, DeafPool()):
        server.write(1, "1")
        await until(lambda: server.to(1))
        before = server.polls
        began = asyncio.get_running_loop().time()
        await asyncio.sleep(1.0)
        assert server.polls - before <= most_polls(asyncio.get_running_loop().time() - began)
        server.write(2, "2")
        await until(lambda: server.to(2))
