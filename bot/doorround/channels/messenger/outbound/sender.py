"""Empties the outbox: each chat in order, chats beside each other, at Telegram's pace, again after
every failure.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    LinkPreviewOptions,
    ReplyParameters,
)
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
)

from doorround.channels.messenger.backoff import Backoff, seconds_asked
from doorround.channels.messenger.outbound.chart_image import draw_chart
from doorround.channels.messenger.outbound.command_menus import set_menu
from doorround.channels.messenger.outbound.outgoing import Outgoing, Press, label, rows
from doorround.channels.messenger.outbound.own_data import send_own_data
from doorround.channels.telegram.outbound.voice_notes import Unsendable, send_voice
from doorround.channels.telegram.transport.rate_limit import Limits, RateLimit
from doorround.channels.telegram.wire.updates import chat_name, chat_number
from doorround.logbook.chats import Chats
from doorround.logbook.errors import StorageError
from doorround.logbook.outbox import OutboundMessage, Outbox

log = logging.getLogger("doorround.telegram")

MAX_TRIES = 40
"""After some half an hour of refusals a message is given up.

While there is no network, tries are not counted.
"""
MAX_SECONDS = 60.0
MAX_FLYING = 40
"""Messages on their way at once, so that fetching and taps always find a connection of the 64. At
30 a second, so many are only on their way where each takes longer than a second.
"""
TOGETHER = 0.01
"""Seconds that the first message to arrive waits for others, to be marked with them: a commit waits
for the disk.
"""


@dataclass
class Sender:
    """The worker. Nothing is lost with it: what is not marked as sent is taken up by the next one.

    own_data: the file with somebody's own data, by their name; called in a thread. recordings:
    their folder. spoken: a voice note that reads something aloud, by its name; called in a thread.
    may_come: whether a reminder may arrive now; one that may not waits, and keeps nothing behind it
    waiting.
    """

    bot: Bot
    outbox: Outbox
    chats: Chats
    limits: Limits = field(default_factory=Limits)
    first_pause: float = 1.0
    clock: Callable[[], float] = time.monotonic
    own_data: Callable[[str], bytes] = lambda name: b"{}"
    recordings: Path = Path("recordings")
    spoken: Callable[[str], bytes] = lambda name: b""
    may_come: Callable[[OutboundMessage], bool] = lambda letter: True

    def __post_init__(self) -> None:
        self._pace = RateLimit(self.limits)
        self._wake = asyncio.Event()
        self._flying: dict[str, asyncio.Task[None]] = {}
        self._failing: dict[str, Backoff] = {}
        self._arrived: list[tuple[int, int | None, asyncio.Future[None]]] = []
        # handed over by a program that is gone: they may have arrived
        self._unclear = {
            letter.id for letter in self.outbox.next_per_chat() if letter.state == "sending"
        }

    def wake(self) -> None:
        """There is something new to send."""
        self._wake.set()

    async def run(self) -> None:
        """Send for ever.

        Cancelled, it lets what is on its way arrive, for as long as finish() waits.
        """
        while True:
            self._wake.clear()
            try:
                pause = self._start_due()
            except StorageError as error:
                log.warning("what is to be sent waits: %s", error)
                pause = self.first_pause
            try:
                # not wait_for: before Python 3.12 it can swallow the cancellation that ends this
                # loop
                async with asyncio.timeout(pause):
                    await self._wake.wait()
            except TimeoutError:
                self._pace.forget(self.clock())

    async def finish(self, seconds: float) -> None:
        """Give what is being sent so long to arrive and be marked, then let go of it."""
        if self._flying:
            _, late = await asyncio.wait(list(self._flying.values()), timeout=seconds)
            for task in late:
                task.cancel()
            await asyncio.gather(*late, return_exceptions=True)

    def _start_due(self) -> float:
        """Start what may go out now, marked in one transaction.

        Returns seconds until the next may.
        """
        pause = MAX_SECONDS
        due = list[tuple[OutboundMessage, int]]()
        for letter in self.outbox.next_per_chat(
            [each.id for each in self.outbox.deferrable() if not self.may_come(each)]
        ):
            if letter.chat in self._flying:
                continue
            if self._needless(letter):
                self.outbox.drop(letter.id, "the talk has moved on")
                pause = 0.0
                continue
            number = chat_number(self.chats.address(letter.chat))
            wait = self._pace.wait(number, self.clock())
            if wait > 0:
                pause = min(pause, wait)
            elif len(self._flying) + len(due) < MAX_FLYING:  # else one that lands wakes us
                self._pace.went(number, self.clock())
                due.append((letter, number))
        return min(pause, self._start(due))

    def _start(self, due: list[tuple[OutboundMessage, int]]) -> float:
        """Mark and start. Returns seconds until it may be tried again."""
        try:
            marked = (
                self.outbox.sending(*(letter.id for letter, _ in due)) if due else frozenset[int]()
            )
        except Exception:
            log.exception("%d messages could not be marked and were not sent", len(due))
            return self.first_pause
        for letter, number in due:
            if letter.id not in marked:
                continue  # given up since
            task = asyncio.create_task(self._send(letter, number))
            self._flying[letter.chat] = task
            task.add_done_callback(partial(self._landed, letter.chat))
        return MAX_SECONDS if len(marked) == len(due) else 0.0

    def _landed(self, chat: str, _task: asyncio.Task[None]) -> None:
        self._flying.pop(chat, None)
        self.wake()

    def _needless(self, letter: OutboundMessage) -> bool:
        """A question that was answered since is not read aloud, nor asked again where it may have
        arrived.
        """
        if letter.turn >= self.chats.turn(letter.chat):
            return False
        may_have_arrived = letter.state == "sending" or letter.id in self._unclear
        return "aloud" in letter.body or (may_have_arrived and bool(letter.body.get("question")))

    async def _send(self, letter: OutboundMessage, number: int) -> None:
        try:
            message = await self._hand_over(letter, number)
        except (TelegramError, Unsendable, TimeoutError) as error:
            if "aloud" in letter.body or not isinstance(error, TelegramError):
                # it was asked in writing: no voice may keep what comes after it waiting
                log.warning(
                    "message %d was not read aloud: %s", letter.id, error or "it took too long"
                )
                self.outbox.drop(letter.id, "not read aloud")
                return
            self._failed(letter, number, error)
        except Exception:
            log.exception("message %d was not sent", letter.id)
            self._again(letter, number)
        else:
            await self._arrive(letter.id, message)
            self._failing.pop(letter.chat, None)

    async def _arrive(self, id: int, message: int | None) -> None:
        """Have a message marked as sent, together with those that arrive beside it."""
        loop = asyncio.get_running_loop()
        if not self._arrived:
            loop.call_later(TOGETHER, self._mark)
        marked = loop.create_future()
        self._arrived.append((id, message, marked))
        await asyncio.shield(marked)

    def _mark(self) -> None:
        arrived, self._arrived = self._arrived, []
        try:
            self.outbox.sent({id: message for id, message, _ in arrived})
        except StorageError as error:
            log.warning("%d messages arrived and are marked later: %s", len(arrived), error)
            self._arrived = arrived + self._arrived
            asyncio.get_running_loop().call_later(self.first_pause, self._mark)
            return
        except Exception:
            # they stand there as "sending": at the next start it is not clear whether they arrived
            log.exception("%d messages arrived and could not be marked", len(arrived))
        for _, _, marked in arrived:
            if not marked.done():
                marked.set_result(None)

    async def _hand_over(self, letter: OutboundMessage, number: int) -> int | None:
        """Send one message, or change the one it takes the place of.

        Returns Telegram's id of it.
        """
        out = Outgoing.from_body(letter.body)
        if out.menu is not None:
            await set_menu(self.bot, number, out.menu)
            return None
        if out.data_of is not None:
            data = await asyncio.to_thread(self.own_data, out.data_of)
            return await send_own_data(self.bot, number, out.text, data)
        if out.clip is not None or out.aloud is not None:
            return await send_voice(self.bot, number, out, self.recordings, self.spoken)
        live = letter.turn == self.chats.turn(letter.chat)
        markup = keyboard(out, letter) if out.taps and live else None
        before = self.outbox.letter(out.edits) if out.edits else None
        if before is not None and before.message is not None:
            try:
                await self.bot.edit_message_text(
                    out.text, number, before.message, reply_markup=markup
                )
                return before.message
            except BadRequest as refused:
                if "not modified" in str(refused).lower():
                    return before.message
        if (
            out.picture is not None
            and (photo := await draw_chart(out.picture, out.text)) is not None
        ):
            return (
                await self.bot.send_photo(number, photo, caption=out.text, reply_markup=markup)
            ).message_id
        answers = (
            ReplyParameters(out.reply_to, allow_sending_without_reply=True)
            if out.reply_to
            else None
        )
        given = {
            "chat_id": number,
            "text": out.text,
            "link_preview_options": LinkPreviewOptions(is_disabled=True),
        }
        more = {"reply_markup": markup, "reply_parameters": answers}
        # as the server answers: the library raises where it cannot read what it is shown, and the
        # message, which has arrived by then, would be sent again and again. In small letters, as in
        # polling.py.
        shown = await self.bot.do_api_request(
            "sendmessage", given | {k: v for k, v in more.items() if v is not None}
        )
        message = shown.get("message_id") if isinstance(shown, dict) else None
        return message if type(message) is int else None

    def _failed(self, letter: OutboundMessage, number: int, error: TelegramError) -> None:
        match error:
            case RetryAfter():
                self.outbox.wait(letter.id)
                self._pace.hold(number, seconds_asked(error), self.clock())
            case ChatMigrated():
                self.outbox.wait(letter.id)
                self.chats.moved(letter.chat, chat_name(error.new_chat_id))
            case Forbidden():
                log.info("%s cannot be reached any more: %s", letter.chat, error)
                self.chats.unreachable(letter.chat, str(error))
                self.outbox.drop_all(letter.chat, str(error))
            case BadRequest():
                log.error("Telegram refused message %d: %s", letter.id, error)
                self.outbox.drop(letter.id, str(error))
            case _:
                self._again(letter, number, error)

    def _again(
        self, letter: OutboundMessage, number: int, error: TelegramError | None = None
    ) -> None:
        """Try later; the other chats go on."""
        known = self._failing.setdefault(letter.chat, Backoff(self.first_pause, MAX_SECONDS))
        if not known.failures:
            log.warning(
                "message %d did not go out, trying again: %s", letter.id, error or "see above"
            )
        offline = isinstance(error, NetworkError) and "ConnectError" in str(error)
        if offline:
            self.outbox.wait(letter.id)
        elif letter.tries + 1 >= MAX_TRIES and not isinstance(error, InvalidToken):
            log.error("message %d is given up after %d tries", letter.id, letter.tries + 1)
            self.outbox.drop(letter.id, f"given up: {error}")
        self._pace.hold(number, known.next(), self.clock())


def keyboard(out: Outgoing, letter: OutboundMessage) -> InlineKeyboardMarkup:
    """The buttons of a message."""
    return InlineKeyboardMarkup(
        [
            [
                InlineKeyboardButton(
                    label(out.taps[at]), callback_data=Press(letter.id, letter.turn, at).data()
                )
                for at in row
            ]
            for row in rows(out.taps)
        ]
    )
