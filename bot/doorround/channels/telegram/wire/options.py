"""Connection settings for Telegram."""

from __future__ import annotations

from dataclasses import dataclass, field

BASE_URL = "https://api.telegram.org/bot"
BASE_FILE_URL = "https://api.telegram.org/file/bot"


@dataclass(frozen=True)
class Webhook:
    """url: called by Telegram. listen, port: local address, behind a proxy. secret: sent by
    Telegram as proof.
    """

    url: str
    secret: str = field(repr=False)
    listen: str = "127.0.0.1"
    port: int = 8443


@dataclass(frozen=True)
class TelegramOptions:
    """token: the bot's, never shown. base_url, base_file_url: the Bot API server. webhook: None to
    poll.
    """

    token: str = field(repr=False)
    base_url: str = BASE_URL
    base_file_url: str = BASE_FILE_URL
    webhook: Webhook | None = None
