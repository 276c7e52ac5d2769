"""The bot against somebody else's stand-in, unmodified: the npm package telegram-test-api.

Only where it is faithful. It gives an update once and forgets it, answers a poll at once, keeps no
limits, fetches no files, and dates its messages in milliseconds; for those things there is
standin.py. `make second-opinion` installs it.
"""

from __future__ import annotations

import asyncio
import shutil
import socket
import time
from contextlib import asynccontextmanager
from pathlib import Path
from types import SimpleNamespace

import httpx
import pytest
from service import prepare, serving, until
from standin import TOKEN

from doorround.domain.entries import EntryKind
from doorround.logbook.outbox import Outbox

HERE = Path(__file__).parent
NODE = shutil.which("node")

pytestmark = pytest.mark.skipif(
    NODE is None or not (HERE / "node_modules" / "telegram-test-api").is_dir(),
    reason="needs node and the npm package: make second-opinion",
)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


@asynccontextmanager
async def their_server():
    """Their server in a process of its own; where it is."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    assert NODE is not None
    process = await asyncio.create_subprocess_exec(
        NODE, "second_opinion.js", str(port), cwd=HERE, stdout=asyncio.subprocess.PIPE
    )
    try:
        assert process.stdout is not None
        async with asyncio.timeout(300):
            assert await process.stdout.readline() == b"ready\n"
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        await process.communicate()


class TheirCaretaker:
    """A chat by their HTTP interface for clients."""

    def __init__(self, client: httpx.AsyncClient, chat: int) -> None:
        self._client = client
        self.chat = chat
        self._common = {
            "from": {"id": chat, "first_name": "Ines", "is_bot": False},
            "botToken": TOKEN,
        }
        self._where = {"chat": {"id": chat, "first_name": "Ines", "type": "private"}}

    async def write(self, text: str) -> None:
        message = {**self._common, **self._where, "date": int(time.time()), "text": text}
        (await self._client.post("/sendMessage", json=message)).raise_for_status()

    async def tap(self, data: str) -> None:
        tap = {
            **self._common,
            "date": int(time.time()),
            "message": {"message_id": 1, **self._where},
            "data": data,
        }
        (await self._client.post("/sendCallback", json=tap)).raise_for_status()

    async def got(self) -> list[dict]:
        """Everything the bot sent here."""
        history = await self._client.post("/getUpdatesHistory", json={"token": TOKEN})
        messages = [
            each["message"]
            for each in history.json()["result"]
            if "chat_id" in each.get("message", {})
        ]
        return [message for message in messages if int(message["chat_id"]) == self.chat]

    async def wait_for(self, count: int) -> list[dict]:
        async with asyncio.timeout(300):
            while len(got := await self.got()) < count:
                await asyncio.sleep(0.05)
        return got


async def test_a_check_by_typing_and_taps(home):
    async with their_server() as url, httpx.AsyncClient(base_url=url) as client:
        there = SimpleNamespace(base_url=f"{url}/bot", base_file_url=f"{url}/file/bot")
        first = TheirCaretaker(client, 1)
        second = TheirCaretaker(client, 2)
        async with serving(home, there) as logbook:
            await first.write("1")
            await second.write("2")
            asked = await first.wait_for(1)
            assert asked[0]["text"].startswith("Door 1")
            assert (await second.wait_for(1))[0]["text"].startswith("Door 2")
            await first.tap(asked[0]["reply_markup"]["inline_keyboard"][0][0]["callback_data"])
            await first.wait_for(2)
            await until(lambda: not Outbox(logbook).next_per_chat())
            answered = [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]
            assert [(entry.person, entry.body["by"]) for entry in answered] == [
                ("caretaker 1", "tap")
            ]
        assert len(await first.got()) == 2
        assert len(await second.got()) == 1
