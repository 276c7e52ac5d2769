"""Supervisors ask by voice note, over HTTP, real engines: an answer by their rights, with buttons
that lead on.
"""

import asyncio
from pathlib import Path

import pytest
from house import ADA, EVE, KIM, MONA, at_work, settle, tap_of
from house import said as said_soon
from service import until
from standin import StandIn

from doorround.domain.schedule.plan import Plan
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.session.recognition_worker import WorkerRecogniser
from doorround.wiring import load_understanding

TOP = Path(__file__).parents[2]
AUDIO = TOP / "tests" / "audio"


# engines on a busy machine take their time
said = said_soon


class OneProcess:
    """The worker of the pool, in this process."""

    def __init__(self) -> None:
        ear = choose_engines(
            TOP / "models", pronunciations=TOP / "grammar" / "pronunciations.dict"
        ).pipeline
        self._hearing = WorkerRecogniser((ear, load_understanding()), 180.0)

    async def hear(self, recording: bytes, wanted: object) -> object:
        return await asyncio.to_thread(self._hearing.hear, recording, wanted)


@pytest.fixture(scope="module")
def pool():
    return OneProcess()


def note(words):
    return (AUDIO / f"{words.replace(' ', '-')}.ogg").read_bytes()


async def test_a_supervisor_asks_and_taps_on(tmp_path, pool):
    settle(tmp_path)
    async with StandIn() as server, at_work(tmp_path, server, pool=pool, plan=Plan()):
        server.voice(MONA, note("asked/what is due"))
        due = await said(server, MONA, "2 doors due")
        server.tap(MONA, tap_of(due, "show door 14"))
        await said(server, MONA, "Never fully checked.")
        server.voice(MONA, note("asked/who is late"))
        await said(server, MONA, "Nobody is late.")
        server.voice(MONA, note("asked/what is wrong"))
        await said(server, MONA, "No defect is open.")
        server.voice(MONA, note("asked/summary"))
        await said(server, MONA, "Due today, not done: 2 doors")
        server.voice(MONA, note("asked/next"))
        await said(server, MONA, "Right?")


async def test_a_caretaker_hears_what_is_due_to_them_and_no_more(tmp_path, pool):
    settle(tmp_path)
    async with StandIn() as server, at_work(tmp_path, server, pool=pool, plan=Plan()):
        server.voice(KIM, note("asked/what is due"))
        due = await said(server, KIM, "1 door due")
        assert [button["text"] for button in due["buttons"]] == ["door 20"] and "14" not in due[
            "text"
        ]
        server.voice(KIM, note("asked/who is late"))
        await said(server, KIM, "Only supervisors and auditors can ask that.")


async def test_strangers_silence_and_talk_are_answered_nothing(tmp_path, pool):
    settle(tmp_path)
    async with StandIn() as server, at_work(tmp_path, server, pool=pool, plan=Plan()):
        server.voice(EVE, note("asked/what is due"))
        for talk in (
            "nothing/quiet-room",
            "nothing/babble",
            "nothing/lorry-passing",
            "nothing/talk-shall-we-have-the",
        ):
            before = len(server.to(MONA))
            server.voice(MONA, note(talk))
            await until(lambda before=before: len(server.to(MONA)) > before)
        told = [message["text"] for message in (*server.to(MONA), *server.to(EVE))]
        assert not any(" due" in text or "late" in text or "defect" in text for text in told)


async def test_an_auditor_types_and_may_read(tmp_path, pool):
    settle(tmp_path)
    async with StandIn() as server, at_work(tmp_path, server, pool=pool, plan=Plan()):
        server.write(ADA, "weekly summary")
        await said(server, ADA, "The week up to Thursday 28 May")
