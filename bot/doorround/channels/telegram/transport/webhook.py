"""Webhook: updates are stored and committed before being acknowledged.

Runs behind a reverse proxy that terminates TLS.
"""

from __future__ import annotations

import asyncio
import contextlib
import hmac
import json
import logging
import socket
from collections.abc import Awaitable, Callable, Iterator, Sequence
from typing import Any
from urllib.parse import urlsplit

import uvicorn
from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from doorround.channels.telegram.wire.options import Webhook

log = logging.getLogger("doorround.telegram")

MAX_BODY = 1_000_000
"""Bytes. An update is some kilobytes."""
SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"


async def _nobody(raws: Sequence[Any], error: Exception) -> None:
    """Notify nobody."""


def application(
    webhook: Webhook,
    keep: Callable[[Sequence[Any]], object],
    refused: Callable[[Sequence[Any], Exception], Awaitable[None]] = _nobody,
) -> Starlette:
    """The web application. keep: stores raw updates and commits. refused: called with what could
    not be stored.
    """

    async def receive(request: Request) -> Response:
        shown = request.headers.get(SECRET_HEADER, "")
        if not hmac.compare_digest(shown.encode(), webhook.secret.encode()):
            return Response(status_code=403)
        try:
            body = await _body(request)
        except ClientDisconnect:
            return Response(status_code=400)
        if body is None:
            return Response(status_code=413)
        try:
            raw = json.loads(body)
        except (ValueError, RecursionError):
            log.info("the webhook received invalid JSON")
            return Response(status_code=400)
        try:
            keep([raw])
        except Exception as error:
            log.exception("an update could not be stored; Telegram will send it again")
            await refused([raw], error)
            return Response(status_code=503)
        return Response(status_code=200)

    return Starlette(routes=[Route(urlsplit(webhook.url).path or "/", receive, methods=["POST"])])


async def _body(request: Request) -> bytes | None:
    """The request body; None if too large."""
    length = request.headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > MAX_BODY:
        return None
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > MAX_BODY:
            return None
    return bytes(body)


class CannotListen(ValueError):
    """The address is unavailable. Says what to do."""


class Server(uvicorn.Server):
    """Listens until cancelled, then lets pending updates be stored; leaves the process's signal
    handlers alone.
    """

    def __init__(
        self,
        webhook: Webhook,
        keep: Callable[[Sequence[Any]], object],
        refused: Callable[[Sequence[Any], Exception], Awaitable[None]] = _nobody,
    ) -> None:
        self._webhook = webhook
        super().__init__(
            uvicorn.Config(
                application(webhook, keep, refused),
                log_config=None,
                lifespan="off",
                access_log=False,
                timeout_graceful_shutdown=1,
            )
        )

    async def listen(self) -> None:
        """Serve. Raises CannotListen."""
        with self._socket() as bound:
            serving = asyncio.create_task(self.serve(sockets=[bound]))
            try:
                await asyncio.shield(serving)
            finally:
                self.should_exit = True
                await serving

    def _socket(self) -> socket.socket:
        where = self._webhook.listen
        port = self._webhook.port
        try:
            return socket.create_server(
                (where, port), family=socket.AF_INET6 if ":" in where else socket.AF_INET
            )
        except OSError as error:
            raise CannotListen(
                f"Port {port} of {where} is not available: {error.strerror}. Set"
                " DOORROUND_TELEGRAM_WEBHOOK_LISTEN and DOORROUND_TELEGRAM_WEBHOOK_PORT to others."
            ) from error

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Signals are handled by the process itself."""
        yield
