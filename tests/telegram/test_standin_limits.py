"""The stand-in keeps the limits that Telegram states."""

import io

import pytest
from standin import TOKEN, StandIn
from telegram.error import BadRequest

from doorround.channels.telegram.transport.client import BotConnection
from doorround.channels.telegram.wire.options import TelegramOptions

LIMITS = (
    ({"text": "x" * 4096}, None),
    ({"text": "🚪" * 2048}, None),
    ({"text": "🚪" * 2048 + "x"}, "too long"),
    ({"text": " \n"}, "empty"),
    (
        {
            "text": "?",
            "reply_markup": {"inline_keyboard": [[{"text": "a", "callback_data": "x" * 64}]]},
        },
        None,
    ),
    (
        {
            "text": "?",
            "reply_markup": {"inline_keyboard": [[{"text": "a", "callback_data": "é" * 33}]]},
        },
        "data_invalid",
    ),
    (
        {"text": "?", "reply_markup": {"inline_keyboard": [[{"text": " ", "callback_data": "x"}]]}},
        "text_invalid",
    ),
)


@pytest.mark.parametrize(("message", "refused"), LIMITS)
async def test_the_stand_in_keeps_telegrams_limits(message, refused):
    async with (
        StandIn() as server,
        BotConnection(TelegramOptions(TOKEN, server.base_url, server.base_file_url)) as line,
    ):
        if refused is None:
            await line.bot.do_api_request("sendmessage", {"chat_id": 1, **message})
            return
        with pytest.raises(BadRequest, match=refused):
            await line.bot.do_api_request("sendmessage", {"chat_id": 1, **message})


async def test_the_stand_in_refuses_a_long_caption_and_a_big_file():
    async with (
        StandIn() as server,
        BotConnection(TelegramOptions(TOKEN, server.base_url, server.base_file_url)) as line,
    ):
        await line.bot.send_document(1, io.BytesIO(b"x"), caption="y" * 1024)
        with pytest.raises(BadRequest):
            await line.bot.send_document(1, io.BytesIO(b"x"), caption="y" * 1025)
        server.files["big"] = b"x" * 20_000_001
        with pytest.raises(BadRequest, match="too big"):
            await line.bot.get_file("big")
