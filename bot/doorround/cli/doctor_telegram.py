"""Checks of the Telegram connection: the token, the server, the webhook."""

from __future__ import annotations

import json
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from typing import Any

from doorround.channels.telegram.transport.client import without_token
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.cli.doctor_result import DoctorResult, ok, problem, warning
from doorround.config.settings import read_telegram
from doorround.config.sources import SettingsError, read_sources

SECONDS = 5.0
UNAUTHORISED = (401, 404)
"""Bot API status for an unknown token."""


def telegram(environment: Mapping[str, str], online: bool) -> Iterator[DoctorResult]:
    """online: whether the server may be contacted."""
    if "TELEGRAM_TOKEN" not in read_sources(environment):
        yield ok("Telegram", "no token: no bot on Telegram")
        return
    try:
        options = read_telegram(environment)
    except SettingsError as error:
        yield problem("Telegram", str(error), "See: doorround settings check")
        return
    if not online:
        yield ok("Telegram", "a token is set; the server was not asked")
        return
    try:
        me = _asked(options, "getMe")
        hook = _asked(options, "getWebhookInfo")
    except urllib.error.HTTPError as error:
        yield _refused(error)
        return
    except (OSError, ValueError) as error:
        why = without_token(str(error), options.token)
        to_do = "See that this computer reaches it; until then messages wait."
        yield problem("Telegram", f"{options.base_url} does not answer: {why}", to_do)
        return
    yield ok("Telegram", f"the token is that of @{me.get('username', '?')}")
    yield from webhook(options, hook)


def _refused(error: urllib.error.HTTPError) -> DoctorResult:
    if error.code in UNAUTHORISED:
        to_do = "Write the token that BotFather gave you into the settings."
        return problem("Telegram", "it does not know this bot", to_do)
    return problem("Telegram", f"the server answers {error.code}", "Try again in some minutes.")


def webhook(options: TelegramOptions, info: Mapping[str, Any]) -> Iterator[DoctorResult]:
    """Whether updates are received in the configured way, and the last error."""
    there = str(info.get("url") or "")
    wanted = options.webhook.url if options.webhook else ""
    if there != wanted:
        found = f"Telegram brings updates to {there or 'nobody'}, should be {wanted or 'polling'}"
        yield warning("webhook", found, "doorround serve sets it right when it starts.")
    elif wanted:
        yield ok("webhook", f"{wanted}, heard on {_listens(options)}")
    if message := info.get("last_error_message"):
        to_do = "See the reverse proxy: docs/serving.md"
        yield warning("webhook", f"the last one failed: {message}", to_do)


def _listens(options: TelegramOptions) -> str:
    assert options.webhook
    return f"{options.webhook.listen}:{options.webhook.port}"


def _asked(options: TelegramOptions, method: str) -> dict[str, Any]:
    url = f"{options.base_url}{options.token}/{method}"
    with urllib.request.urlopen(url, timeout=SECONDS) as answer:
        found = json.load(answer)
    result = found.get("result") if isinstance(found, dict) else None
    if not isinstance(result, dict):
        raise ValueError("the server is not a Bot API")
    return result
