"""Reads questions aloud to people who want it: asynchronously, so that no written question waits
for a voice note.

It watches the outbox, synthesises the voice note separately, and only then enqueues a message for
it. The message is dropped once the talk has moved on.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from doorround.logbook.chats import Chats
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.read_aloud_prefs import read_aloud_to
from doorround.speaking.tts_cache import TtsCache
from doorround.speaking.voice import CannotSpeak

log = logging.getLogger("doorround.messenger")


@dataclass
class TtsSender:
    """channel: whose chats are read to. spoken: None to read nothing aloud. written: called when
    the outbox has something new.
    """

    channel: str
    chats: Chats
    outbox: Outbox
    spoken: TtsCache | None
    written: Callable[[], None]
    clock: Callable[[], datetime]
    _wake: asyncio.Event = field(default_factory=asyncio.Event)
    _done: dict[str, int] = field(default_factory=dict)
    _told: set[str] = field(default_factory=set)

    def written_elsewhere(self) -> None:
        """Wake up: something in the outbox may need reading aloud."""
        self.written()
        self._wake.set()

    async def run(self) -> None:
        """Run for ever. Failures are logged."""
        while True:
            await self._wake.wait()
            self._wake.clear()
            try:
                await self._look()
            except Exception:
                log.exception("reading aloud failed")

    async def _look(self) -> None:
        wanted = read_aloud_to(self.chats.logbook) if self.spoken is not None else frozenset()
        for chat, person in self.chats.of_people(self.channel) if wanted else ():
            outbound = self._open_question(chat) if person in wanted else None
            if outbound is not None and self._done.get(chat) != outbound.id:
                self._done[chat] = outbound.id
                await self._read(outbound)

    def _open_question(self, chat: str) -> OutboundMessage | None:
        """The last message of a chat's current turn, if it asks something."""
        turn = self.outbox.of_turn(chat, self.chats.turn(chat))
        last = next((outbound for outbound in reversed(turn) if outbound.body.text), None)
        asks = last is not None and (last.body.asks or last.body.confirms)
        return last if asks and last is not None and last.state != "dropped" else None

    async def _read(self, outbound: OutboundMessage) -> None:
        assert self.spoken is not None
        try:
            name = await asyncio.to_thread(self.spoken.note, outbound.body.text)
        except (CannotSpeak, OSError) as error:
            if str(error) not in self._told:
                self._told.add(str(error))
                log.warning("a question was not read aloud: %s", error)
            return
        if name and self.chats.turn(outbound.chat) == outbound.turn:
            # a reply to the voice note counts as one to the question
            about = outbound.body
            out = Outgoing(
                "",
                check=about.check,
                asks=about.asks,
                tells=about.tells,
                confirms=about.confirms,
                aloud=name,
            )
            self.outbox.put(outbound.chat, f"aloud/{outbound.id}", outbound.turn, out, self.clock())
            self.written()
