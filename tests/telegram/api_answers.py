"""What a Bot API server answers: well, refused, broken off, or in trouble by a plan."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from typing import Any

from starlette.responses import JSONResponse, Response

Mishap = Callable[[str, dict[str, Any]], Response | None]


class Dropped(Response):
    """The connection breaks off in the middle of the answer."""

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        headers = [(b"content-type", b"application/json"), (b"content-length", b"1000")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": b'{"ok": true, ', "more_body": True})


class Half(Response):
    """Half of the answer, as if it were whole; of a file, half the file."""


class TooLate(Dropped):
    """What was asked is done; then the connection breaks off, so that nobody is told."""


def well(result: Any) -> Response:
    return Response(json.dumps({"ok": True, "result": result}), media_type="application/json")


def refuse(code: int, why: str, **parameters: Any) -> Response:
    more = {"parameters": parameters} if parameters else {}
    return JSONResponse(
        {"ok": False, "error_code": code, "description": why, **more}, status_code=code
    )


def trouble(dice: random.Random, often: float) -> Mishap:
    """Fails so often, at every method: server errors, "slower", half an answer, and connections
    that break off.
    """
    kinds: tuple[Callable[[], Response], ...] = (
        lambda: refuse(500, "Internal Server Error"),
        lambda: refuse(502, "Bad Gateway"),
        lambda: Half(b'{"ok": tr'),
        lambda: refuse(429, "Too Many Requests: retry after 1", retry_after=1),
        Dropped,
        TooLate,
    )
    return lambda method, given: dice.choice(kinds)() if dice.random() < often else None
