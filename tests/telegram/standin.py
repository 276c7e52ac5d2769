"""A Bot API server for tests: real HTTP, and stricter than the real one.

It gives every update again and again until the offset confirms it, refuses what breaks a limit with the library's own
errors, and fails, drops and delays by a plan that the test gives.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import random
import socket
from collections.abc import Callable
from email import message_from_bytes
from typing import Any
from urllib.parse import parse_qsl

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

TOKEN = "4711:SecretSecretSecretSecretSecret"
BOT_NAME = "rounds_bot"
FROM = {"is_bot": False, "first_name": "Ines"}


Mishap = Callable[[str, dict[str, Any]], Response | None]


class Quiet(uvicorn.Server):
    @contextlib.contextmanager
    def capture_signals(self):
        yield


class StandIn:
    """mishap: looks at a method and its parameters first; gives a Response to send instead, or None."""

    def __init__(self, mishap: Mishap = lambda method, given: None) -> None:
        self.mishap = mishap
        self.updates: list[Any] = []
        self.sent: list[dict[str, Any]] = []
        self.calls: list[tuple[str, dict[str, Any]]] = []
        self.files: dict[str, bytes] = {}
        self.broken: list[str] = []
        self.menus: dict[int, list[str]] = {}
        self.repeat_confirmed = 0
        self._numbers = iter(range(1, 10**9))
        self.news = asyncio.Event()
        self.on_sent: Callable[[dict[str, Any]], None] = lambda message: None

    @property
    def base_url(self) -> str:
        return f"http://127.0.0.1:{self.port}/bot"

    @property
    def base_file_url(self) -> str:
        return f"http://127.0.0.1:{self.port}/file/bot"

    async def __aenter__(self) -> StandIn:
        app = Starlette(
            routes=[
                Route("/bot{token}/{method}", self._method, methods=["GET", "POST"]),
                Route("/file/bot{token}/{path:path}", self._file),
            ]
        )
        self._socket = socket.socket()
        self._socket.bind(("127.0.0.1", 0))
        self.port = self._socket.getsockname()[1]
        config = uvicorn.Config(app, log_config=None, lifespan="off", timeout_graceful_shutdown=1)
        self._server = Quiet(config)
        self._task = asyncio.create_task(self._server.serve(sockets=[self._socket]))
        while not self._server.started:
            await asyncio.sleep(0.01)
        return self

    async def __aexit__(self, *why: object) -> None:
        self._server.should_exit = True
        self.news.set()
        await self._task
        self._socket.close()

    def give(self, **update: Any) -> int:
        """A new update. Returns its number."""
        number = 100 + next(self._numbers)
        self.updates.append({"update_id": number, **update})
        self.news.set()
        return number

    def give_raw(self, update: Any) -> None:
        self.updates.append(update)
        self.news.set()

    def write(self, chat: int, text: str | None = None, **more: Any) -> int:
        message = {"message_id": next(self._numbers), "date": 1_780_000_000, "chat": {"id": chat, "type": "private"}}
        said = {} if text is None else {"text": text}
        return self.give(message={**message, "from": {"id": chat, **FROM}, **said, **more})

    def voice(self, chat: int, recording: bytes) -> int:
        file = f"voice{next(self._numbers)}"
        self.files[file] = recording
        return self.write(chat, voice={"file_id": file, "file_unique_id": file, "duration": 1})

    def tap(self, chat: int, data: str) -> int:
        under = {"message_id": 1, "date": 1, "chat": {"id": chat, "type": "private"}}
        query = {"id": str(next(self._numbers)), "from": {"id": chat, **FROM}, "message": under, "data": data}
        return self.give(callback_query={**query, "chat_instance": "1"})

    def to(self, chat: int) -> list[dict[str, Any]]:
        return [message for message in self.sent if message["chat_id"] == chat]

    async def _method(self, request: Request) -> Response:
        if request.path_params["token"] != TOKEN:
            return refuse(401, "Unauthorized")
        given = await fields(request) | dict(request.query_params)
        method = request.path_params["method"].lower()
        self.calls.append((method, given))
        mishap = self.mishap(method, given)
        if mishap is not None:
            return mishap
        served = getattr(self, f"_{method}", None)
        return refuse(404, "Not Found") if served is None else await served(given)

    async def _getupdates(self, given: dict[str, Any]) -> Response:
        offset = int(given.get("offset", 0))
        self.updates = [each for each in self.updates if not (number(each) is not None and number(each) < offset)]
        if not self.updates:
            self.news.clear()
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self.news.wait(), float(given.get("timeout", 0)))
        return well(self.updates[: int(given.get("limit", 100))])

    async def _sendmessage(self, given: dict[str, Any]) -> Response:
        text, markup = given.get("text", ""), json.loads(given.get("reply_markup", "{}"))
        buttons = [button for row in markup.get("inline_keyboard", []) for button in row]
        wrong = [
            "message text is empty" if not text.strip() else "",
            "message is too long" if len(text.encode("utf-16-le")) // 2 > 4096 else "",
            "BUTTON_DATA_INVALID"
            if not all(1 <= len(each["callback_data"].encode()) <= 64 for each in buttons)
            else "",
            "BUTTON_TEXT_INVALID" if any(not each["text"].strip() for each in buttons) else "",
        ]
        for why in filter(None, wrong):
            self.broken.append(why)
            return refuse(400, f"Bad Request: {why}")
        chat = int(given["chat_id"])
        message = {"chat_id": chat, "text": text, "buttons": buttons, "id": next(self._numbers), "given": given}
        self.sent.append(message)
        self.on_sent(message)
        chat_type = "private" if chat > 0 else "supergroup"
        shown = {"message_id": message["id"], "date": 1, "chat": {"id": chat, "type": chat_type}, "text": text}
        return well(shown)

    async def _senddocument(self, given: dict[str, Any]) -> Response:
        data, chat = given["document"], int(given["chat_id"])
        if not data or len(data) > 50_000_000 or len(given.get("caption", "")) > 1024:
            return refuse(400, "Bad Request: file must be non-empty, small and with a short caption")
        message = {"chat_id": chat, "text": given.get("caption", ""), "buttons": [], "file": data, "given": given}
        self.sent.append({**message, "id": next(self._numbers)})
        self.on_sent(self.sent[-1])
        shown = {"message_id": self.sent[-1]["id"], "date": 1, "chat": {"id": chat, "type": "private"}}
        return well({**shown, "document": {"file_id": "sent", "file_unique_id": "sent"}})

    async def _getme(self, given: dict[str, Any]) -> Response:
        return well({"id": 4711, "is_bot": True, "first_name": "Rounds", "username": BOT_NAME})

    async def _setmycommands(self, given: dict[str, Any]) -> Response:
        words = [command["command"] for command in json.loads(given["commands"])]
        if not 1 <= len(words) <= 100:
            return refuse(400, "Bad Request: BOT_COMMANDS_INVALID")
        self.menus[json.loads(given["scope"])["chat_id"]] = words
        return well(True)

    async def _deletemycommands(self, given: dict[str, Any]) -> Response:
        self.menus.pop(json.loads(given["scope"])["chat_id"], None)
        return well(True)

    async def _sendchataction(self, given: dict[str, Any]) -> Response:
        return well(True)

    async def _answercallbackquery(self, given: dict[str, Any]) -> Response:
        return well(True)

    async def _deletewebhook(self, given: dict[str, Any]) -> Response:
        return well(True)

    async def _setwebhook(self, given: dict[str, Any]) -> Response:
        return well(True)

    async def _getfile(self, given: dict[str, Any]) -> Response:
        file = given["file_id"]
        if file not in self.files:
            return refuse(400, "Bad Request: invalid file_id")
        if len(self.files[file]) > 20_000_000:
            return refuse(400, "Bad Request: file is too big")
        return well({"file_id": file, "file_unique_id": file, "file_size": len(self.files[file]), "file_path": file})

    async def _file(self, request: Request) -> Response:
        mishap = self.mishap("file", dict(request.path_params))
        if mishap is not None:
            return mishap
        return Response(self.files[request.path_params["path"]])


async def fields(request: Request) -> dict[str, Any]:
    """The parameters of a call; files as bytes."""
    kind, body = request.headers.get("content-type", ""), await request.body()
    if not kind.startswith("multipart/"):
        return dict(parse_qsl(body.decode()))
    parts = message_from_bytes(b"Content-Type: " + kind.encode() + b"\r\n\r\n" + body).get_payload()
    given = {}
    for part in parts:
        value = part.get_payload(decode=True)
        name = part.get_param("name", header="content-disposition")
        given[name] = value if part.get_filename() else value.decode()
    return given


def number(update: Any) -> int | None:
    found = update.get("update_id") if isinstance(update, dict) else None
    return found if type(found) is int else None


def well(result: Any) -> Response:
    return Response(json.dumps({"ok": True, "result": result}), media_type="application/json")


def refuse(code: int, why: str, **parameters: Any) -> Response:
    more = {"parameters": parameters} if parameters else {}
    return JSONResponse({"ok": False, "error_code": code, "description": why, **more}, status_code=code)


def trouble(dice: random.Random, often: float) -> Callable[[str, dict[str, Any]], Response | None]:
    """Fails so often: server errors, "slower" and answers cut off, at every method."""

    def mishap(method: str, given: dict[str, Any]) -> Response | None:
        if dice.random() >= often:
            return None
        kind = dice.choice(("502", "500", "429", "cut"))
        if kind == "429":
            return refuse(429, "Too Many Requests: retry after 1", retry_after=1)
        return Response(b'{"ok": tr', 502) if kind == "cut" else refuse(int(kind), "Bad Gateway")

    return mishap
