"""A house with people: two sites, a supervisor, caretakers, an auditor, each with an account that
is their chat.
"""

from __future__ import annotations

import itertools
from contextlib import asynccontextmanager
from datetime import timedelta

from service import NOON, serving, until
from standin import BOT_NAME, FROM

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.channels.messenger.retention import KeepingDays
from doorround.domain.door import Door
from doorround.domain.invites import new_code
from doorround.domain.links import LinkKey, door_payload
from doorround.domain.people import Account, Role
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

MONA = 1
KIM = 2
SAM = 3
ADA = 4
EVE = 66
GROUP = -9
KEY = LinkKey("a", b"k" * 32)
ALDER = Door(number="14", site="Alder House")
BARN = Door(number="20", site="Barn")
_codes = itertools.count(1)


def settle(home, people=(MONA, KIM, SAM, ADA)) -> None:
    """Mona supervises, Kim checks the Barn, Sam everything, Ada reads. Nobody knows Eve."""
    known = {
        MONA: ("Mona", Role.SUPERVISOR, ()),
        KIM: ("Kim", Role.CARETAKER, ("Barn",)),
        SAM: ("Sam", Role.CARETAKER, ()),
        ADA: ("Ada", Role.AUDITOR, ()),
    }
    with Logbook.open(home / "logbook.db") as logbook, logbook.writing():
        for door in (ALDER, BARN):
            logbook.add_door(door, "Mona", NOON)
        for account in people:
            join(logbook, account, *known[account])


def join(
    logbook: Logbook, account: int, name: str, role: Role, sites: tuple[str, ...] = ()
) -> None:
    people = People(logbook)
    code = new_code(next(_codes).to_bytes(16))
    people.invite(code, role, sites, 7, "Mona", NOON)
    people.open_invite(Account("telegram", str(account)), code, name, "Do you agree?", NOON)
    people.join(Account("telegram", str(account)), NOON)


def access_policy(logbook: Logbook) -> InvitedAccess:
    chance = itertools.count(1)
    return InvitedAccess(
        Access(logbook, lambda: (KEY,), 90, BOT_NAME, lambda count: bytes([next(chance)]) * count)
    )


@asynccontextmanager
async def at_work(home, server, **more):
    """The bot, running with the people of the house; its logbook."""
    clock = more.pop("clock", lambda: NOON + timedelta(hours=1))
    async with serving(
        home,
        server,
        access_policy=access_policy,
        clock=clock,
        kept=KeepingDays(home / "recordings"),
        **more,
    ) as logbook:
        yield logbook


def kinds(logbook: Logbook) -> list[str]:
    """What was entered, in its order."""
    return [entry.kind for entry in logbook.entries()]


def label(door: Door) -> str:
    """What a phone sends when a door's label was scanned."""
    return f"/start {door_payload(door, KEY)}"


def write_in_group(server, user: int, text: str) -> int:
    message = {
        "message_id": 1,
        "date": 1_780_000_000,
        "chat": {"id": GROUP, "type": "supergroup"},
        "text": text,
    }
    return server.give(message={**message, "from": {"id": user, **FROM}})


def tap_in_group(server, user: int, data: str) -> int:
    under = {"message_id": 1, "date": 1, "chat": {"id": GROUP, "type": "supergroup"}}
    query = {"id": str(next(_codes)), "from": {"id": user, **FROM}, "message": under, "data": data}
    return server.give(callback_query={**query, "chat_instance": "1"})


async def said(server, chat: int, text: str, seconds: float = 300.0) -> dict:
    """The message to a chat that holds these words, once it is there."""
    await until(lambda: any(text in message["text"] for message in server.to(chat)), seconds)
    return next(message for message in reversed(server.to(chat)) if text in message["text"])


async def done(logbook: Logbook, *updates: int) -> None:
    """Wait until these updates are dealt with, whatever came of them, and all that was to be said
    by Telegram is sent.
    """
    outbox = Outbox(logbook, "telegram")

    def is_done() -> bool:
        dealt_with = all(_outcome(logbook, update) for update in updates)
        return dealt_with and not outbox.next_per_chat()

    await until(is_done)


def _outcome(logbook: Logbook, update: int) -> str | None:
    rows = logbook._rows("SELECT outcome FROM inbox WHERE update_id = ?", str(update))
    return rows[0][0] if rows else None


def tap_of(message: dict, words: str) -> str:
    return next(button["callback_data"] for button in message["buttons"] if button["text"] == words)
