"""Sends one outbox message through Telegram."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    LinkPreviewOptions,
    ReplyParameters,
)
from telegram.error import BadRequest, TelegramError

from doorround.channels.messenger.channel import Delivery, DeliveryError
from doorround.channels.messenger.outbound.chart_image import draw_chart
from doorround.channels.messenger.outbound.outgoing import Press, label, rows
from doorround.channels.telegram.outbound.menus import set_menu
from doorround.channels.telegram.outbound.own_data import send_own_data
from doorround.channels.telegram.outbound.photos import MAX_CAPTION, send_kept_photo
from doorround.channels.telegram.outbound.voice_notes import Unsendable, send_voice
from doorround.channels.telegram.transport.errors import delivery_error
from doorround.channels.telegram.wire.updates import chat_number
from doorround.logbook.outbox import OutboundMessage
from doorround.logbook.outgoing import Outgoing


@dataclass
class TelegramOutbound:
    """An OutboundChannel.

    own_data: a person's data export as a file, by name; called in a thread. recordings: their
    folder. spoken: a read-aloud voice note, by its name; called in a thread.
    """

    bot: Bot
    own_data: Callable[[str], bytes] = lambda name: b"{}"
    recordings: Path = Path("recordings")
    spoken: Callable[[str], bytes] = lambda name: b""

    async def deliver(self, delivery: Delivery) -> str | None:
        """Send one message. Returns Telegram's id. Raises DeliveryError."""
        try:
            message = await self._send(delivery)
        except TelegramError as error:
            raise delivery_error(error) from error
        except Unsendable as error:
            raise DeliveryError(str(error)) from error
        except TimeoutError as error:
            raise DeliveryError("it took too long") from error
        return None if message is None else str(message)

    async def say_now(self, chat: str, line: str) -> None:
        """Send a line bypassing the outbox. Raises DeliveryError."""
        try:
            await self.bot.send_message(chat_number(chat), line)
        except TelegramError as error:
            raise delivery_error(error) from error

    async def _send(self, delivery: Delivery) -> int | None:
        out = delivery.outbound.body
        number = chat_number(delivery.chat)
        if out.menu is not None:
            await set_menu(self.bot, number, out.menu)
            return None
        if out.data_of is not None:
            data = await asyncio.to_thread(self.own_data, out.data_of)
            return await send_own_data(self.bot, number, out.text, data)
        if out.clip is not None or out.aloud is not None:
            return await send_voice(self.bot, number, out, self.recordings, self.spoken)
        if out.photo is not None:
            return await send_kept_photo(self.bot, number, out, self.recordings)
        markup = keyboard(out, delivery.outbound) if out.taps and delivery.live else None
        if delivery.replaces is not None:
            before = int(delivery.replaces)
            if await self._edit(out, number, before, markup):
                return before
        if out.picture is not None and len(out.text) <= MAX_CAPTION:
            photo = await draw_chart(out.picture)
            if photo is not None:
                sent = await self.bot.send_photo(
                    number, photo, caption=out.text, reply_markup=markup
                )
                return sent.message_id
        return await self._send_text(out, number, markup)

    async def _edit(
        self, out: Outgoing, number: int, before: int, markup: InlineKeyboardMarkup | None
    ) -> bool:
        """Replace a message's text. False if Telegram does not allow it."""
        try:
            await self.bot.edit_message_text(out.text, number, before, reply_markup=markup)
        except BadRequest as refused:
            return "not modified" in str(refused).lower()
        return True

    async def _send_text(
        self, out: Outgoing, number: int, markup: InlineKeyboardMarkup | None
    ) -> int | None:
        answers = None
        if out.reply_to:
            answers = ReplyParameters(int(out.reply_to), allow_sending_without_reply=True)
        given = {
            "chat_id": number,
            "text": out.text,
            "link_preview_options": LinkPreviewOptions(is_disabled=True),
        }
        more = {"reply_markup": markup, "reply_parameters": answers}
        # as the raw server response: the library raises if it cannot parse the echoed message,
        # which has arrived by then and would be sent again and again. In small letters, as in
        # polling.py.
        shown = await self.bot.do_api_request(
            "sendmessage", given | {k: v for k, v in more.items() if v is not None}
        )
        message = shown.get("message_id") if isinstance(shown, dict) else None
        return message if type(message) is int else None


def keyboard(out: Outgoing, outbound: OutboundMessage) -> InlineKeyboardMarkup:
    """The buttons of a message."""
    return InlineKeyboardMarkup(
        [
            [
                InlineKeyboardButton(
                    label(out.taps[at]), callback_data=Press(outbound.id, outbound.turn, at).data()
                )
                for at in row
            ]
            for row in rows(out.taps)
        ]
    )
