"""The calls that a Bot API server gets, and which limits they break."""

from __future__ import annotations

import json
from email import message_from_bytes
from typing import Any
from urllib.parse import parse_qsl

from starlette.requests import Request


def buttons_of(given: dict[str, Any]) -> list[dict[str, str]]:
    markup = json.loads(given.get("reply_markup", "{}"))
    return [button for row in markup.get("inline_keyboard", []) for button in row]


def broken_limits(text: str, buttons: list[dict[str, str]]) -> list[str]:
    """What is wrong with a message.

    Source: the Bot API's sendMessage and InlineKeyboardButton, from memory.
    """
    wrong = {
        "message text is empty": not text.strip(),
        "message is too long": len(text.encode("utf-16-le")) // 2 > 4096,
        "BUTTON_DATA_INVALID": not all(
            1 <= len(each["callback_data"].encode()) <= 64 for each in buttons
        ),
        "BUTTON_TEXT_INVALID": any(not each["text"].strip() for each in buttons),
    }
    return [why for why, so in wrong.items() if so]


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


def confirmed(update: Any, offset: int) -> bool:
    found = number(update)
    return found is not None and found < offset
