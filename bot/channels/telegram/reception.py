"""The people of the logbook as Telegram's Reception: known by invite and consent."""

from __future__ import annotations

from datetime import datetime

from bot.channels.reception import Reception as People
from bot.channels.telegram.outgoing import read_press
from bot.channels.telegram.updates import CHANNEL, Tapped, Written, chat_number
from bot.domain.check import Prompt
from bot.domain.people import Account, Right
from bot.logbook.chats import Chats
from bot.logbook.outbox import Outbox


class Invited:
    """people: who decides, whatever the messenger."""

    def __init__(self, people: People) -> None:
        self._people = people
        self._chats, self._outbox = Chats(people.logbook), Outbox(people.logbook)

    def person(self, chat: str) -> str | None:
        """Whose private chat this is; None for somebody unknown or gone."""
        person = self._people.known(_account(chat))
        return person.name if person else None

    def checks(self, chat: str) -> bool:
        """Whether the person of this chat may check doors."""
        person = self._people.known(_account(chat))
        return person is not None and person.may(Right.CHECK)

    def stranger(self, chat: str, update: Written | Tapped, at: datetime) -> tuple[Prompt, ...]:
        """What somebody unknown is told; who joins is known, and reached when all are told something."""
        told = self._people.stranger(_account(chat), update.writer.name, self._words(chat, update), at)
        person = self.person(chat)
        if person is not None:
            self._chats.belong(chat, person)
        return told.say

    def _words(self, chat: str, update: Written | Tapped) -> str:
        if isinstance(update, Written):
            return update.text or ""
        press = read_press(update.data)
        letter = self._outbox.letter(press.letter) if press else None
        if press is None or letter is None or letter.chat != chat:
            return ""
        taps = letter.body.get("taps", [])
        return str(taps[press.place]) if press.place < len(taps) else ""


def _account(chat: str) -> Account:
    # the private chat with somebody has the number of their account
    return Account(CHANNEL, str(chat_number(chat)))
