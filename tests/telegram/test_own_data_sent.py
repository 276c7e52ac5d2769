"""One's own data comes as a file: whole, one's own, and no larger than Telegram takes."""

import hashlib
import json

import pytest
from house import (
    KIM,
    at_work,
    done,
    said,
    settle,
)
from service import NOON, until
from standin import StandIn

from doorround.logbook.recordings import own_data


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    return tmp_path


async def test_ones_own_data_comes_as_a_file_and_is_ones_own(home):
    async with StandIn() as server, at_work(home, server):
        server.write(KIM, "/mydata")
        await until(lambda: any("file" in message for message in server.to(KIM)))
        data = json.loads(server.to(KIM)[-1]["file"])
        assert data["about"]["name"] == "Kim" and data["accounts"] == [
            {"channel": "telegram", "account": str(KIM)}
        ]
        assert {entry["person"] for entry in data["entries"]} == {"Kim"}


async def test_data_too_big_for_telegram_is_said(home, monkeypatch):
    monkeypatch.setattr("doorround.channels.telegram.outbound.own_data.MAX_BYTES", 100)
    async with StandIn() as server, at_work(home, server):
        server.write(KIM, "/mydata")
        await said(server, KIM, "doorround people data")


async def test_ones_own_data_holds_every_voice_note_and_every_message(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        await done(
            logbook,
            server.voice(KIM, b"a note that nobody understood"),
            server.write(KIM, "some words"),
        )
        data = own_data(logbook, "Kim", home / "recordings", NOON)
        sha256 = hashlib.sha256(b"a note that nobody understood").hexdigest()
        assert data["recordings"] == [{"sha256": sha256, "stored": True, "deleted_as_set": False}]
        words = [each["update"]["message"].get("text") for each in data["messages"]["received"]]
        assert words == [None, "some words"]
        assert data["messages"]["sent"][-1]["text"] == server.to(KIM)[-1]["text"]
        assert not own_data(logbook, "Sam", home / "recordings", NOON)["recordings"]
