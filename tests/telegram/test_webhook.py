"""Updates that Telegram brings: who may, how much, and that nothing is acknowledged before it is
kept.
"""

import hmac
import json
import socket
import sqlite3

import httpx
import pytest
from service import prepare, runs, serving, until
from standin import StandIn

from doorround.channels.telegram.transport.webhook import (
    MAX_BODY,
    SECRET_HEADER,
    CannotListen,
    application,
)
from doorround.channels.telegram.wire.options import Webhook
from doorround.domain.entries import EntryKind

SECRET = "a_secret_that_nobody_guesses"
SHOWN = {SECRET_HEADER: SECRET}
UPDATE = {"update_id": 7}


def caller(kept, keep=None):
    webhook = Webhook("https://doors.example.org/telegram", SECRET)
    transport = httpx.ASGITransport(application(webhook, keep or kept.extend))
    return httpx.AsyncClient(transport=transport, base_url="http://here")


async def post(kept=None, path="/telegram", headers=SHOWN, keep=None, method="POST", **body):
    async with caller([] if kept is None else kept, keep) as client:
        return (await client.request(method, path, headers=headers, **body)).status_code


async def test_an_update_with_the_secret_is_kept():
    kept = []
    assert await post(kept, json=UPDATE) == 200
    assert kept == [UPDATE]


@pytest.mark.parametrize(
    "shown",
    (
        {},
        {SECRET_HEADER: ""},
        {SECRET_HEADER: SECRET[:-1]},
        {SECRET_HEADER: SECRET + "x"},
        {SECRET_HEADER: b"\xff\xe4"},
    ),
)
async def test_without_the_secret_nothing_is_kept_or_even_read(shown):
    kept = []
    assert await post(kept, headers=shown, content=b"no json") == 403
    assert kept == []


async def test_the_secret_is_compared_in_constant_time(monkeypatch):
    compared = []

    def compare(left, right):
        compared.append((left, right))
        return hmac_compare(left, right)

    hmac_compare = hmac.compare_digest
    monkeypatch.setattr(
        "doorround.channels.telegram.transport.webhook.hmac.compare_digest", compare
    )
    assert await post(json=UPDATE, headers={SECRET_HEADER: "wrong"}) == 403
    assert compared == [(b"wrong", SECRET.encode())]


ELSEWHERE = (
    ("/", "POST", 404),
    ("/telegram/x", "POST", 404),
    ("/telegram", "GET", 405),
    ("/telegram", "PUT", 405),
)


@pytest.mark.parametrize(("path", "method", "status"), ELSEWHERE)
async def test_another_path_or_method_is_nothing(path, method, status):
    kept = []
    assert await post(kept, path=path, method=method, json=UPDATE) == status
    assert kept == []


async def test_a_body_that_is_too_long_is_refused_by_what_it_announces():
    kept = []
    assert await post(kept, content=b" " * (MAX_BODY + 1)) == 413
    assert kept == []


async def test_a_body_that_announces_nothing_is_cut_off_where_it_gets_too_long():
    given = 0

    async def endless():
        nonlocal given
        while given < 5 * MAX_BODY:
            given += 100_000
            yield b" " * 100_000

    assert await post(content=endless()) == 413


async def test_a_body_of_just_the_most_is_read():
    body = json.dumps(UPDATE).encode()
    assert await post(content=body + b" " * (MAX_BODY - len(body))) == 200


@pytest.mark.parametrize("body", (b"", b"{", b"\xff", b"[" * 100_000, b'{"update_id": 1'))
async def test_what_is_no_json_is_refused_and_stops_nothing(body):
    kept = []
    assert await post(kept, content=body) == 400
    assert kept == []


async def test_what_cannot_be_kept_is_not_acknowledged():
    def keep(raws):
        raise OSError("disk full")

    assert await post(json=UPDATE, keep=keep) == 503


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    return tmp_path


def inbox(home):
    logbook = sqlite3.connect(home / "logbook.db")
    try:
        return [int(row[0]) for row in logbook.execute("SELECT update_id FROM inbox ORDER BY id")]
    finally:
        logbook.close()


async def test_the_whole_bot_behind_a_webhook(home):
    webhook = Webhook("https://doors.example.org/telegram", SECRET, port=free_port())
    async with (
        StandIn() as server,
        serving(home, server, webhook=webhook) as logbook,
        httpx.AsyncClient() as telegram,
    ):
        await until(lambda: any(method == "setwebhook" for method, _ in server.calls))
        given = next(given for method, given in server.calls if method == "setwebhook")
        assert (given["url"], given["secret_token"]) == (webhook.url, SECRET)
        server.write(1, "1")
        update = server.updates.pop()
        where = f"http://127.0.0.1:{webhook.port}/telegram"
        for _ in range(2):
            answer = await telegram.post(where, json=update, headers=SHOWN)
            assert answer.status_code == 200
            # another connection sees it, so it was committed
            assert inbox(home) == [update["update_id"]]
        await until(lambda: server.to(1))
        assert server.to(1)[0]["text"].startswith("Door 1")
        assert (await telegram.post(where, json=update)).status_code == 403
        server.write(1, "undamaged")
        assert (
            await telegram.post(where, json=server.updates.pop(), headers=SHOWN)
        ).status_code == 200
        await until(lambda: len(server.to(1)) == 2)
        assert sum(entry.kind is EntryKind.CHECK_STARTED for entry in logbook.entries()) == 1
        assert not any(method == "getupdates" for method, _ in server.calls)


async def test_a_port_that_is_taken_ends_the_service_and_says_what_to_set(home):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        webhook = Webhook("https://doors.example.org/telegram", SECRET, port=taken.getsockname()[1])
        async with StandIn() as server:
            with pytest.raises(CannotListen, match="DOORROUND_TELEGRAM_WEBHOOK_PORT"):
                await runs(home, server, webhook=webhook)
