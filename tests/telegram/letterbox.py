"""A second channel for tests: an in-memory messenger whose ids are words, not numbers.

It is as small as a channel can be: see docs/adding-a-channel.md.
"""

from __future__ import annotations

import asyncio
import itertools
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from doorround.channels.messenger.channel import Delivery, Unreachable
from doorround.channels.messenger.outbound.outgoing import Press
from doorround.channels.messenger.service import Service
from doorround.channels.messenger.updates import (
    ButtonPress,
    Message,
    RemoteFile,
    Unusable,
    Update,
    Writer,
)
from doorround.domain.address import Address

NAME = "letterbox"


class Letterbox:
    """Both halves of the channel, and the messenger itself. sent: what arrived, by account."""

    name = NAME
    keeps_updates = timedelta(days=1)

    def __init__(self) -> None:
        self.sent: list[tuple[str, Delivery]] = []
        self.spoken_past_the_outbox: list[tuple[str, str]] = []
        self.shut: set[str] = set()
        self.toasts: list[str] = []
        self._ids = itertools.count(1)
        self._waiting: list[dict[str, Any]] = []
        self._news = asyncio.Event()

    # ---- what people do --------------------------------------------------------------------------

    def write(self, account: str, text: str, id: str | None = None) -> str:
        id = id or f"word-{next(self._ids)}"
        self._give({"id": id, "from": account, "text": text, "at": datetime.now(UTC).timestamp()})
        return id

    def press(self, account: str, data: str) -> str:
        id = f"press-{next(self._ids)}"
        self._give({"id": id, "from": account, "press": data})
        return id

    def to(self, account: str) -> list[str]:
        return [each.outbound.body.text for to, each in self.sent if to == account]

    def button(self, account: str, words: str) -> str:
        """The data of the newest button with this label."""
        for to, each in reversed(self.sent):
            if to == account and words in each.outbound.body.taps:
                place = each.outbound.body.taps.index(words)
                return Press(each.outbound.id, each.outbound.turn, place).data()
        raise AssertionError(f"{account} was never shown a button “{words}”")

    def _give(self, raw: dict[str, Any]) -> None:
        self._waiting.append(raw)
        self._news.set()

    # ---- in --------------------------------------------------------------------------------------

    def numbered(self, raws: Sequence[Any]) -> list[tuple[str, Any]]:
        return [(raw["id"], raw) for raw in raws]

    def read(self, raw: Any) -> Update:
        if not isinstance(raw, dict) or "from" not in raw:
            return Unusable("no letter")
        writer = Writer(str(Address(NAME, raw["from"])), raw["from"], raw["from"], True)
        if "press" in raw:
            return ButtonPress(writer, raw["id"], raw["press"])
        return Message(writer, raw["id"], datetime.fromtimestamp(raw["at"], UTC), raw["text"])

    async def fetch(self, file: RemoteFile, held: float, picture: bool = False) -> bytes:
        raise AssertionError("letters hold no files")

    async def answer_press(self, press: ButtonPress, toast: str) -> None:
        self.toasts.append(toast)

    async def show_busy(self, chat: str) -> None:
        await asyncio.Event().wait()

    # ---- out -------------------------------------------------------------------------------------

    async def deliver(self, delivery: Delivery) -> str | None:
        address = Address.read(delivery.chat)
        assert address.channel == NAME, f"{delivery.chat} is no chat of this messenger"
        if address.id in self.shut:
            raise Unreachable("the letterbox is shut")
        if delivery.outbound.body.menu is not None:
            return None
        self.sent.append((address.id, delivery))
        return f"letter-{next(self._ids)}"

    async def say_now(self, chat: str, line: str) -> None:
        self.spoken_past_the_outbox.append((chat, line))

    # ---- pace: none ------------------------------------------------------------------------------

    def wait(self, chat: str, now: float) -> float:
        return 0.0

    def went(self, chat: str, now: float) -> None:
        pass

    def hold(self, chat: str, seconds: float, now: float) -> None:
        pass

    def forget(self, now: float) -> None:
        pass

    # ---- at work ---------------------------------------------------------------------------------

    async def serve(self, service: Service, stop: asyncio.Event) -> None:
        await service.serve_channel(self, self, self, lambda run: [self._bring(run.keep)], stop)

    async def _bring(self, keep: Any) -> None:
        while True:
            self._news.clear()
            keep(self._waiting)
            self._waiting = []
            await self._news.wait()
