"""Many chats at once, on the real engines in processes of their own: order, shedding, a crash, a
clean end.
"""

import asyncio
import hashlib
import multiprocessing
import os
import time
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import pytest
import pytest_asyncio

from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.listening import is_busy
from doorround.channels.talk.talk import Talk
from doorround.config.resources import load_checklist, pronunciations
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Prompt, Stage
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorReference
from doorround.domain.input_result import BadAudio, Heard, OffGrammar, Silence, Unsure
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.session.recognition_worker import AtQuestion, AtWhichDoor, Note
from doorround.hearing.session.worker_pool import Pool
from doorround.logbook.store import Logbook
from doorround.messages.recordings import BUSY, NOT_WORKED_OUT
from doorround.wiring import load_understanding, make_engines, make_pool

AUDIO = Path(__file__).parent
TOP = AUDIO.parents[1]
NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
ENGINES = partial(make_engines, TOP / "models", "auto")
DOORS = tuple(
    Door(number=number, place=place)
    for number, place in (("2.14", "stair A"), ("107", "kitchen corridor"))
)


def recorded(words, folder="said"):
    return (AUDIO / folder / f"{words.replace(' ', '-')}.ogg").read_bytes()


def at(key):
    return AtQuestion(ExpectedInput(Stage.ASKING, load_checklist().ask(key)))


def deaf():
    raise AssertionError("recordings are heard by the pool alone")


def talk(logbook, chat, folder, person="Robin"):
    return Talk(
        chat, person, logbook, load_understanding(), deaf, folder, checklist=load_checklist()
    )


async def take_pooled(chat, message, now, pool):
    """As a messenger takes a message: what it turns away is dealt with when it is sent again."""
    async with pool.in_order(chat.chat):
        heard = await chat.listen_pooled(message, pool)
        if is_busy(heard):
            return TalkReply((Prompt(text=heard.advice),), heard)
        return chat.take_heard(message, heard, now)


class Brittle(RecognitionPipeline):
    """A real ear that dies of one recording, as a native library may; of another it only fails."""

    def listen(self, recording, allowed, *more):
        speech = detect_speech(recording)
        if speech.sound.sha256 == DEADLY:
            os._exit(11)
        if speech.sound.sha256 == SICKENING:
            raise ValueError("an engine stumbles")
        return super().listen(speech, allowed, *more)


class Waiting(RecognitionPipeline):
    """A real ear that says when it begins, and then waits for a sign."""

    def __init__(self, begun, go_on):
        super().__init__(SphinxEngine(pronunciations()))
        self._begun = begun
        self._go_on = go_on

    def listen(self, recording, allowed, *more):
        self._begun.touch()
        while not self._go_on.exists():
            time.sleep(0.005)
        return super().listen(recording, allowed, *more)


def waiting(begun, go_on):
    return Waiting(begun, go_on), load_understanding()


def sha256(recording):
    return hashlib.sha256(recording).hexdigest()


DEADLY = sha256(recorded("slams"))
SICKENING = sha256(recorded("no"))


def brittle():
    return Brittle(SphinxEngine(pronunciations())), load_understanding()


def stumbles(_ear, _understanding):
    yield
    raise ValueError("an engine stumbles")


def no_engine():
    raise EngineUnavailable("No engine here. Install one.")


@pytest_asyncio.fixture(scope="class", loop_scope="class")
async def two_workers():
    """A pool for what changes nothing in it: each worker takes three seconds of the processor."""
    async with Pool(ENGINES, workers=2) as pool:
        yield pool


@pytest.mark.asyncio(loop_scope="class")
class TestWithTwoWorkers:
    async def test_answers_notes_doors_silence_and_rubbish_are_heard_as_without_a_pool(
        self, two_workers
    ):
        pool = two_workers
        heard = await asyncio.gather(
            pool.hear(recorded("painted over"), at("seals")),
            pool.hear(recorded("two screws missing"), Note()),
            pool.hear(recorded("door one oh seven", "doors"), AtWhichDoor("r1", (), DOORS)),
            pool.hear(recorded("quiet room", "nothing"), at("seals")),
            pool.hear(b"no recording at all", at("seals")),
        )
        answer, note, door, silence, rubbish = heard
        assert isinstance(answer, Heard) and answer.words == "painted over"
        assert answer.audio_sha256 == sha256(recorded("painted over"))
        assert isinstance(note, OffGrammar) and "missing" in (note.words or "")
        assert isinstance(door, DoorReference) and [each.number for each in door.doors] == ["107"]
        assert isinstance(silence, Silence)
        assert isinstance(rubbish, BadAudio) and rubbish.audio_sha256 == sha256(
            b"no recording at all"
        )

    async def test_two_chats_beside_each_other_each_in_its_order(self, tmp_path, two_workers):
        pool = two_workers
        with Logbook.open(tmp_path / "logbook.db") as logbook:
            for door in DOORS:
                logbook.add_door(door, "Robin", NOW)
            one = talk(logbook, "one", tmp_path / "r")
            two = talk(logbook, "two", tmp_path / "r", person="Kim")
            named = [
                take_pooled(
                    one, Incoming("a1", recording=recorded("door one oh seven", "doors")), NOW, pool
                ),
                take_pooled(one, Incoming("a2", text="yes"), NOW, pool),
                take_pooled(two, Incoming("b1", text="2.14"), NOW, pool),
                take_pooled(two, Incoming("b2", recording=recorded("say again")), NOW, pool),
                take_pooled(two, Incoming("b2", recording=recorded("say again")), NOW, pool),
            ]
            replies = await asyncio.gather(*named)
            assert one.check is not None and one.check.door.number == "107"
            assert two.check is not None and two.check.door.number == "2.14"
            assert replies[3].say == replies[4].say and replies[4].heard is None
            assert replies[3].say[-1].text == replies[2].say[-1].text, (
                "say again, heard after the door was named"
            )
            assert logbook.verify() == []


async def test_a_full_line_turns_away_politely_and_loses_nothing(tmp_path):
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(DOORS[0], "Robin", NOW)
        async with Pool(ENGINES, workers=1, waiting=1) as pool:
            chats = [talk(logbook, f"chat{place}", tmp_path / "recordings") for place in range(4)]
            chats[0].begin("2.14", load_checklist(), NOW)
            message = Incoming("m", recording=recorded("door one oh seven", "doors"))
            replies = await asyncio.gather(
                *(take_pooled(chat, message, NOW, pool) for chat in chats)
            )
            busy = [place for place, reply in enumerate(replies) if reply.say[0].text == BUSY]
            assert busy == [2, 3] and not pool.busy
            assert (
                tmp_path / "recordings" / sha256(recorded("door one oh seven", "doors"))
            ).exists()
            again = await take_pooled(chats[3], message, NOW, pool)
            assert again.say[0].text != BUSY, "turned away, it was not taken for dealt with"
            assert logbook.already("chat3", "m") == again.say


@pytest.mark.sphinx
async def test_a_recording_that_kills_an_engine_kills_no_pool_and_no_chat():
    async with Pool(brittle, workers=1, waiting=4) as pool:
        killed, failed, next_one = await asyncio.gather(
            pool.hear(recorded("slams"), at("closer.full")),
            asyncio.wait_for(_failing(pool), 120),
            pool.hear(recorded("painted over"), at("seals")),
        )
    assert isinstance(killed, BadAudio) and killed.advice == NOT_WORKED_OUT
    assert failed == "an engine stumbles"
    assert (
        next_one.words == "painted over"
        if isinstance(next_one, Heard)
        else next_one.guesses[0].words == "painted over"
    )


async def _failing(pool):
    try:
        await pool.hear(recorded("no"), at("seals"))
    except ValueError as error:
        return str(error)
    return None


async def test_a_caller_that_goes_away_leaves_its_worker_to_the_next():
    async with Pool(ENGINES, workers=1) as pool:
        gone = asyncio.create_task(pool.hear(recorded("painted over"), at("seals")))
        await asyncio.sleep(0.05)
        gone.cancel()
        with pytest.raises(asyncio.CancelledError):
            await gone
        heard = await asyncio.wait_for(pool.hear(recorded("painted over"), at("seals")), 120)
        assert isinstance(heard, Heard)


async def test_a_recording_is_heard_while_a_worker_learns_ahead():
    """All of a checklist takes a worker half a minute; a caretaker does not wait for it."""
    learning = make_pool(read_settings({"DOORROUND_HOME": "none"}), workers=1)
    async with learning as pool:
        for _ in range(2):
            assert isinstance(await pool.hear(recorded("painted over"), at("seals")), Heard)
            await asyncio.sleep(0.3)


async def test_a_worker_that_cannot_learn_ahead_hears_all_the_same():
    async with Pool(ENGINES, workers=1, idle=stumbles) as pool:
        assert isinstance(await pool.hear(recorded("painted over"), at("seals")), Heard)


async def test_what_is_missing_is_told_to_the_caller():
    async with Pool(no_engine, workers=1) as pool:
        with pytest.raises(EngineUnavailable, match="Install one"):
            await pool.hear(recorded("painted over"), at("seals"))


async def test_the_end_waits_for_what_is_being_heard_and_leaves_no_process():
    before = set(multiprocessing.active_children())
    async with Pool(ENGINES, workers=2) as pool:
        jobs = [
            asyncio.create_task(pool.hear(recorded("painted over"), at("seals"))) for _ in range(4)
        ]
        await asyncio.sleep(0)
    assert [type(await job) for job in jobs] == [Heard] * 4
    assert set(multiprocessing.active_children()) <= before
    assert isinstance(await pool.hear(b"", at("seals")), BadAudio), (
        "a pool that has ended turns away"
    )


@pytest.mark.sphinx
async def test_the_event_loop_goes_on_while_recordings_are_heard(tmp_path):
    """The engine waits for what the loop does meanwhile: a loop that stood still would never do
    it.
    """
    begun = tmp_path / "begun"
    go_on = tmp_path / "go on"
    async with Pool(partial(waiting, begun, go_on), workers=1) as pool:
        job = asyncio.create_task(pool.hear(recorded("painted over"), at("seals")))
        while not begun.exists():
            assert not job.done()
            await asyncio.sleep(0.005)
        go_on.touch()
        assert isinstance(await job, Heard | Unsure)
