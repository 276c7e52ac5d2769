"""The library's Bot as our transport: no parsing of updates, no conversations, and no token in any
log.
"""

from __future__ import annotations

import logging
from functools import cache
from ssl import SSLContext
from types import TracebackType
from typing import Self

from httpx import create_ssl_context
from telegram import Bot
from telegram.request import HTTPXRequest

from doorround.channels.telegram.wire.options import TelegramOptions

CONNECTIONS = 64
SECONDS = 20.0


@cache
def _certificates() -> SSLContext:
    """TLS trust store; loaded once: it takes as long as some ten messages, and every failed poll
    creates a new Line.
    """
    return create_ssl_context()


class BotConnection:
    """A Bot and its connections; opened with `async with`. options: server address.

    The Bot's own initialize() is not called: it contacts the server, which may be down, and
    includes the token in its error.
    """

    def __init__(
        self, options: TelegramOptions, connections: int = CONNECTIONS, seconds: float = SECONDS
    ) -> None:
        self._requests = [self._request(connections, seconds), self._request(1, seconds)]
        self.bot = Bot(
            options.token,
            base_url=options.base_url,
            base_file_url=options.base_file_url,
            request=self._requests[0],
            get_updates_request=self._requests[1],
        )

    @staticmethod
    def _request(connections: int, seconds: float) -> HTTPXRequest:
        return HTTPXRequest(
            connection_pool_size=connections,
            read_timeout=seconds,
            write_timeout=seconds,
            connect_timeout=seconds / 2,
            pool_timeout=seconds,
            httpx_kwargs={"verify": _certificates()},
        )

    async def __aenter__(self) -> Self:
        for request in self._requests:
            await request.initialize()
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for request in self._requests:
            await request.shutdown()


class WithoutToken(logging.Formatter):
    """A formatter that removes the token from log records, including tracebacks."""

    def __init__(self, token: str, inner: logging.Formatter) -> None:
        super().__init__()
        self._token = token
        self._inner = inner

    def format(self, record: logging.LogRecord) -> str:
        """One line or more, without the token."""
        return without_token(self._inner.format(record), self._token)


def without_token(text: str, token: str) -> str:
    """A text with the token redacted, and its secret half if that appears alone."""
    secret = token.partition(":")[2]
    for part in filter(None, (token, secret)):
        text = text.replace(part, "…")
    return text


def log_to_stderr(token: str) -> None:
    """Log to stderr, one line each, without the token; from the library only warnings and above."""
    handler = logging.StreamHandler()
    handler.setFormatter(
        WithoutToken(token, logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    )
    logging.basicConfig(level=logging.INFO, handlers=[handler], force=True)
    for chatty in ("httpx", "httpcore", "telegram", "uvicorn.access"):
        logging.getLogger(chatty).setLevel(logging.WARNING)
    # logs every update it cannot parse completely, including what people wrote
    logging.getLogger("telegram.request").setLevel(logging.CRITICAL)
