"""A messenger in memory for random talks: the bot's own inbox, handling and outbox over a real
logbook, one message at a time, with numbers that grow through both sides of a chat.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from PIL import Image

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.channel import NotYet
from doorround.channels.messenger.inbound.check_conversation import CheckConversation
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.channels.messenger.inbound.update_handler import UpdateHandler
from doorround.channels.messenger.outbound.outgoing import Press, read_press
from doorround.channels.messenger.updates import (
    ButtonPress,
    Message,
    RemoteFile,
    Unusable,
    Update,
    Writer,
)
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.input_result import By, OffGrammar, Silence
from doorround.domain.invites import new_code
from doorround.domain.links import LinkKey
from doorround.domain.people import Account, Role
from doorround.domain.schedule.plan import Plan
from doorround.hearing.session.interpretation import typed
from doorround.hearing.session.recognition_worker import AtQuestion, Note
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox, NewUpdate
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts
from doorround.wiring import make_pooled_talk
from tests.unit.visits import CORRIDOR, CUPBOARD, HELD_OPEN, UNDERSTANDING

NAME = "room"
KIM = f"{NAME}/kim"
MONA = f"{NAME}/mona"
DOORS = (CORRIDOR, HELD_OPEN, CUPBOARD)
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
KEY = LinkKey("a", b"k" * 32)


def _jpeg() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (16, 16), "green").save(out, "JPEG")
    return out.getvalue()


class WordsPool:
    """Hears each recording as the words behind its number, as a voice: only engines are left
    out.
    """

    async def hear(self, recording: bytes, wanted: Any) -> Any:
        words = recording.decode().partition(" ")[2]
        sha256 = hashlib.sha256(recording).hexdigest()
        if isinstance(wanted, Note):
            return OffGrammar(transcript=words, audio_sha256=sha256)
        if not isinstance(wanted, AtQuestion):
            return Silence()
        heard = typed(UNDERSTANDING, words, wanted.expected, By.VOICE)
        return heard.model_copy(update={"audio_sha256": sha256})


@dataclass
class Wire:
    """What the messenger gives out. held: files that it does not give out yet."""

    name = NAME
    keeps_updates = timedelta(days=1)
    held: set[str] = field(default_factory=set)

    def numbered(self, raws: Sequence[Any]) -> list[tuple[str, Any]]:
        return [(raw["id"], raw) for raw in raws]

    def read(self, raw: Any) -> Update:
        account = raw["from"]
        writer = Writer(f"{NAME}/{account}", account, account, True)
        if "press" in raw:
            return ButtonPress(writer, raw["id"], raw["press"])
        if "message" not in raw:
            return Unusable("nothing")
        return Message(
            writer,
            raw["message"],
            datetime.fromisoformat(raw["at"]),
            raw.get("text"),
            RemoteFile(raw["voice"]) if "voice" in raw else None,
            raw.get("reply_to"),
            raw.get("edited", False),
            RemoteFile("photo") if "photo" in raw else None,
            forwarded=raw.get("forwarded", False),
            own_words=raw.get("forwarded", False),
        )

    async def fetch(self, file: RemoteFile, held: float, picture: bool = False) -> bytes:
        if file.file_id in self.held:
            raise NotYet("Later.", "Gone.")
        return _jpeg() if picture else file.file_id.encode()

    async def answer_press(self, press: ButtonPress, toast: str) -> None:
        return None

    async def show_busy(self, chat: str) -> None:
        await asyncio.Event().wait()


class Room:
    """Kim who checks doors, Mona who supervises, and the bot. home: a folder of its own."""

    def __init__(self, home: Path) -> None:
        self.home, self.wire = home, Wire()
        self.now = NOON
        self._numbers = itertools.count(1)
        self._runner = asyncio.Runner()
        self.logbook = self._open()
        self._settle()
        self._start()

    def close(self) -> None:
        self.logbook.close()
        self._runner.close()

    def restart(self) -> None:
        """The program ends between two messages, and starts again."""
        self.logbook.close()
        self.logbook = self._open()
        self._start()

    def number(self) -> str:
        """The number that the next message of either side has."""
        return str(next(self._numbers))

    def send(self, account: str, *, handled: bool = True, **raw: Any) -> dict[str, Any]:
        """One update from somebody, dealt with and answered; the update. handled: False keeps it
        for later.
        """
        self.now += timedelta(seconds=7)
        raw = {"from": account, "at": self.now.isoformat(), **raw}
        raw.setdefault("id", f"u{self.number()}")
        if "press" not in raw:
            raw.setdefault("message", self.number())
        self.take(raw, handled)
        return raw

    def take(self, raw: dict[str, Any], handled: bool = True) -> None:
        """An update as it comes from the messenger, maybe not for the first time."""
        update = NewUpdate(raw["id"], f"{NAME}/{raw['from']}", raw)
        self.inbox.store([update], self.now)
        if handled:
            self.deal()

    def deal(self) -> None:
        """Deal with all that waits, then send all that was said."""
        for id, _chat in self.inbox.waiting():
            self._runner.run(self.handler.handle(id))
        while said := self.outbox.next_per_chat():
            self.outbox.sent({each.id: self.number() for each in said})

    def shown(self, chat: str = KIM) -> list[OutboundMessage]:
        """What stands in a chat from the bot, in order."""
        return [each for each in self.outbox.all(chat) if each.state == "sent"]

    def turn(self) -> int:
        """How often Kim's talk has moved on."""
        return Chats(self.logbook).turn(KIM)

    def is_stale(self, press: str, turn: int) -> bool:
        """Whether a button is of an earlier turn."""
        found = read_press(press)
        assert found is not None
        return found.turn != turn

    @staticmethod
    def press_of(shown: OutboundMessage, place: int) -> str:
        return Press(shown.id, shown.turn, place).data()

    def _open(self) -> Logbook:
        return Logbook.open(self.home / "logbook.db")

    def _settle(self) -> None:
        people = People(self.logbook)
        with self.logbook.writing():
            for door in DOORS:
                self.logbook.add_door(door, "Mona", NOON)
            for account, name, role in (
                ("kim", "Kim", Role.CARETAKER),
                ("mona", "Mona", Role.SUPERVISOR),
            ):
                code = new_code(account.encode().ljust(16))
                people.invite(code, role, (), 7, "Mona", NOON)
                people.open_invite(Account(NAME, account), code, name, "Do you agree?", NOON)
                people.join(Account(NAME, account), NOON)
                Chats(self.logbook).belong(f"{NAME}/{account}", name)

    def _start(self) -> None:
        plan, logbook = Plan(), self.logbook
        settings = read_settings({"DOORROUND_HOME": str(self.home)})
        alerts = Alerts(logbook, plan)
        self.inbox, self.outbox = Inbox(logbook, NAME), Outbox(logbook, NAME)
        talk = partial(make_pooled_talk, logbook, settings, load_checklist(), reach=alerts.reach)
        conversation = CheckConversation(
            self.wire, talk, WordsPool(), Chats(logbook), self.outbox, 1, alerts.after_turn
        )
        self.handler = UpdateHandler(
            self.wire,
            logbook,
            conversation,
            talk,
            InvitedAccess(Access(logbook, lambda: (KEY,), 90, "bot", lambda count: b"b" * count)),
            written=lambda: None,
            clock=lambda: self.now,
        )
