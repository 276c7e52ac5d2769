"""A Bot API server for tests: real HTTP, and stricter than the real server.

It redelivers every update until the offset confirms it, rejects whatever exceeds a limit with the
library's own errors, and fails, drops and delays according to the test's plan.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
import time
from collections import Counter
from collections.abc import Callable
from typing import Any

import uvicorn
from api_answers import Half, Mishap, TooLate, refuse, well
from api_calls import broken_limits, buttons_of, confirmed, fields
from quiet_server import Quiet
from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

TOKEN = "4711:SecretSecretSecretSecretSecret"
BOT_NAME = "rounds_bot"
FROM = {"is_bot": False, "first_name": "Ines"}


class StandIn:
    """mishap: called first with method and parameters; may return a Response to send instead."""

    def __init__(self, mishap: Mishap = lambda method, given: None) -> None:
        self.mishap = mishap
        self.updates: list[Any] = []
        self.sent: list[dict[str, Any]] = []
        self.calls: list[tuple[str, dict[str, Any]]] = []
        self.files: dict[str, bytes] = {}
        self.broken: list[str] = []
        self.menus: dict[int, list[str]] = {}
        self.again = lambda: False
        """Whether an update comes once more although it was confirmed."""
        self.given = 0
        self.mishaps: Counter[str] = Counter()
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
        config = uvicorn.Config(app, log_config=None, lifespan="off")
        self._server = Quiet(config)
        self._task = asyncio.create_task(self._server.serve(sockets=[self._socket]))
        while not self._server.started:
            await asyncio.sleep(0.01)
        return self

    async def __aexit__(self, *why: object) -> None:
        self._server.end()
        self.news.set()
        await self._task
        self._socket.close()

    def give(self, **update: Any) -> int:
        """Add a new update. Returns its number."""
        number = 100 + next(self._numbers)
        self.updates.append({"update_id": number, **update})
        self.given += 1
        self.news.set()
        return number

    def give_raw(self, update: Any) -> None:
        self.updates.append(update)
        self.news.set()

    def write(self, chat: int, text: str | None = None, **more: Any) -> int:
        message = {
            "message_id": next(self._numbers),
            "date": int(time.time()),
            "chat": {"id": chat, "type": "private"},
        }
        said = {} if text is None else {"text": text}
        return self.give(message={**message, "from": {"id": chat, **FROM}, **said, **more})

    def voice(self, chat: int, recording: bytes) -> int:
        file = f"voice{next(self._numbers)}"
        self.files[file] = recording
        return self.write(chat, voice={"file_id": file, "file_unique_id": file, "duration": 1})

    def tap(self, chat: int, data: str) -> int:
        under = {"message_id": 1, "date": 1, "chat": {"id": chat, "type": "private"}}
        query = {
            "id": str(next(self._numbers)),
            "from": {"id": chat, **FROM},
            "message": under,
            "data": data,
        }
        return self.give(callback_query={**query, "chat_instance": "1"})

    def to(self, chat: int) -> list[dict[str, Any]]:
        return [message for message in self.sent if message["chat_id"] == chat]

    async def _method(self, request: Request) -> Response:
        if request.path_params["token"] != TOKEN:
            return refuse(401, "Unauthorized")
        try:
            given = await fields(request) | dict(request.query_params)
        except ClientDisconnect:
            return refuse(400, "Bad Request")
        method = request.path_params["method"].lower()
        self.calls.append((method, given))
        mishap = self.mishap(method, given)
        if mishap is not None:
            self.mishaps[f"{type(mishap).__name__} {mishap.status_code}"] += 1
        if mishap is not None and not isinstance(mishap, TooLate):
            return mishap
        served = getattr(self, f"_{method}", None)
        done = refuse(404, "Not Found") if served is None else await served(given)
        return mishap or done

    async def _getupdates(self, given: dict[str, Any]) -> Response:
        offset = int(given.get("offset", 0))
        self.updates = [
            each for each in self.updates if not confirmed(each, offset) or self.again()
        ]
        if not self.updates:
            self.news.clear()
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self.news.wait(), float(given.get("timeout", 0)))
        return well(self.updates[: int(given.get("limit", 100))])

    async def _sendmessage(self, given: dict[str, Any]) -> Response:
        buttons = buttons_of(given)
        for why in broken_limits(given.get("text", ""), buttons):
            self.broken.append(why)
            return refuse(400, f"Bad Request: {why}")
        chat = int(given["chat_id"])
        self.sent.append(
            {"chat_id": chat, "text": given["text"], "buttons": buttons, "given": given}
        )
        self.sent[-1]["id"] = next(self._numbers)
        self.on_sent(self.sent[-1])
        return well(self._shown(self.sent[-1]))

    async def _editmessagetext(self, given: dict[str, Any]) -> Response:
        place = (int(given["chat_id"]), int(given["message_id"]))
        buttons = buttons_of(given)
        found = next((each for each in self.sent if (each["chat_id"], each["id"]) == place), None)
        if found is None:
            return refuse(400, "Bad Request: message to edit not found")
        for why in broken_limits(given.get("text", ""), buttons):
            self.broken.append(why)
            return refuse(400, f"Bad Request: {why}")
        if (found["text"], found["buttons"]) == (given["text"], buttons):
            return refuse(400, "Bad Request: message is not modified")
        found.update(text=given["text"], buttons=buttons)
        return well(self._shown(found))

    @staticmethod
    def _shown(message: dict[str, Any]) -> dict[str, Any]:
        chat = {
            "id": message["chat_id"],
            "type": "private" if message["chat_id"] > 0 else "supergroup",
        }
        return {"message_id": message["id"], "date": 1, "chat": chat, "text": message["text"]}

    async def _senddocument(self, given: dict[str, Any]) -> Response:
        data = given["document"]
        chat = int(given["chat_id"])
        if not data or len(data) > 50_000_000 or len(given.get("caption", "")) > 1024:
            return refuse(
                400, "Bad Request: file must be non-empty, small and with a short caption"
            )
        message = {
            "chat_id": chat,
            "text": given.get("caption", ""),
            "buttons": [],
            "file": data,
            "given": given,
        }
        self.sent.append({**message, "id": next(self._numbers)})
        self.on_sent(self.sent[-1])
        shown = {
            "message_id": self.sent[-1]["id"],
            "date": 1,
            "chat": {"id": chat, "type": "private"},
        }
        return well({**shown, "document": {"file_id": "sent", "file_unique_id": "sent"}})

    async def _sendphoto(self, given: dict[str, Any]) -> Response:
        data = given["photo"]
        chat = int(given["chat_id"])
        markup = json.loads(given.get("reply_markup", "{}"))
        if not data or len(data) > 10_000_000 or len(given.get("caption", "")) > 1024:
            return refuse(
                400, "Bad Request: file must be non-empty, small and with a short caption"
            )
        buttons = [button for row in markup.get("inline_keyboard", []) for button in row]
        message = {
            "chat_id": chat,
            "text": given.get("caption", ""),
            "buttons": buttons,
            "photo": data,
            "given": given,
        }
        self.sent.append({**message, "id": next(self._numbers)})
        self.on_sent(self.sent[-1])
        shown = {
            "message_id": self.sent[-1]["id"],
            "date": 1,
            "chat": {"id": chat, "type": "private"},
        }
        return well(
            {
                **shown,
                "photo": [{"file_id": "sent", "file_unique_id": "sent", "width": 9, "height": 9}],
            }
        )

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
        return well(
            {
                "file_id": file,
                "file_unique_id": file,
                "file_size": len(self.files[file]),
                "file_path": file,
            }
        )

    async def _file(self, request: Request) -> Response:
        mishap = self.mishap("file", dict(request.path_params))
        content = self.files[request.path_params["path"]]
        if isinstance(mishap, Half):
            return Response(content[: len(content) // 2])
        return mishap or Response(content)
