"""Access policy based on the logbook's people: known by invite and consent."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from doorround.channels.messenger.access import Access as People
from doorround.channels.messenger.inbound.free_reply import completed, names_place
from doorround.channels.messenger.outbound.outgoing import read_press
from doorround.channels.messenger.results import Reply, StartCheck, tell
from doorround.channels.messenger.updates import ButtonPress, Message
from doorround.dialogue.command_menu import meant_for
from doorround.domain.address import Address
from doorround.domain.people import Account, Right
from doorround.domain.query import DOES, read_query
from doorround.logbook.chats import Chats
from doorround.logbook.errors import LogbookError
from doorround.logbook.outbox import Outbox
from doorround.messages import buttons, receiving


class InvitedAccess:
    """people: makes the decisions, whatever the messenger."""

    def __init__(self, people: People) -> None:
        self._people = people
        self._chats = Chats(people.logbook)
        self._outbox = Outbox(people.logbook)

    def called(self, bot_name: str) -> None:
        """The bot's user name on the messenger."""
        self._people = replace(self._people, bot_name=bot_name)

    def person(self, chat: str) -> str | None:
        """Whose private chat this is; None for somebody unknown or gone."""
        person = self._people.known(_account(chat))
        return person.name if person else None

    def checks(self, chat: str) -> bool:
        """Whether the person of this chat may check doors."""
        person = self._people.known(_account(chat))
        return person is not None and person.may(Right.CHECK)

    def stranger(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """Reply to a stranger; once joined, they are known and receive announcements."""
        own = not (isinstance(update, Message) and update.forwarded)
        reply = self._people.stranger(
            _account(chat), update.writer.name, self._words(chat, update), at, own
        )
        person = self.person(chat)
        if person is not None:
            self._chats.belong(chat, person)
        return reply

    def order(
        self, chat: str, update: Message | ButtonPress, at: datetime
    ) -> Reply | StartCheck | None:
        """Reply to a known person's command; None for input to the talk, such as edited messages
        and most buttons.
        """
        person = self._people.known(_account(chat))
        if person is None:
            return None
        if (page := self._next_page(chat, update)) is not None:
            return page
        text = self._words(chat, update)
        if isinstance(update, Message) and update.forwarded and not person.may(Right.CHECK):
            return tell(receiving.FORWARDED)
        if person.may(Right.CHECK):
            if isinstance(update, Message) and (update.edited or update.forwarded):
                return None
            if isinstance(update, Message):
                text = self._replied(chat, text)
            asked = read_query(text)
            asks = asked is not None and asked.what not in DOES  # harmless, however old its button
            orders = asked is not None or text.startswith("/")
            if (
                isinstance(update, ButtonPress)
                and not asks
                and not (orders and self._fresh(chat, update))
            ):
                return None
        return self._people.order(person, text, at)

    def in_group(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """Reply in a group: only to supervisors of its site, and never to another bot's
        commands.
        """
        person = self._people.known(Account(Address.read(chat).channel, update.writer.user))
        if person is None or (isinstance(update, Message) and (update.edited or update.forwarded)):
            return Reply()
        if (page := self._next_page(chat, update)) is not None:
            return page
        text = self._words(chat, update)
        if meant_for(text) not in ("", self._people.bot_name.lower()):
            return Reply()
        reply = self._people.order(person, text, at, group=chat)
        return reply if isinstance(reply, Reply) else Reply()

    def _next_page(self, chat: str, update: Message | ButtonPress) -> Reply | None:
        """The remaining pages of a long message, however old its button; None for anything else."""
        if not isinstance(update, ButtonPress) or self._words(chat, update) != buttons.MORE:
            return None
        press = read_press(update.data)
        outbound = self._outbox.outbound(press.outbound) if press else None
        return tell(outbound.body.rest) if outbound and outbound.body.rest else None

    def _words(self, chat: str, update: Message | ButtonPress) -> str:
        if isinstance(update, Message):
            # the caption of a photo or recording is never a command
            return "" if update.sound or update.photo else update.text or ""
        press = read_press(update.data)
        outbound = self._outbox.outbound(press.outbound) if press else None
        if press is None or outbound is None or outbound.chat != chat:
            return ""
        taps = outbound.body.does or outbound.body.taps
        return str(taps[press.place]) if press.place < len(taps) else ""

    def _replied(self, chat: str, text: str) -> str:
        """A text completed to a command, if the last message asked for free words, no check is open
        that they might belong to, and they do not name a door by its location.
        """
        last = self._outbox.last(chat)
        if last is None or not text or self._at_a_check(chat):
            return text
        order = completed(last.body.does or last.body.taps, text)
        if order is None or names_place(text, self._people.logbook.doors()):
            return text
        return order

    def _at_a_check(self, chat: str) -> bool:
        try:
            check = self._people.logbook.position(chat)
        except LogbookError:
            return True
        return check is not None and not check.closed

    def _fresh(self, chat: str, tap: ButtonPress) -> bool:
        press = read_press(tap.data)
        return press is not None and press.turn == self._chats.turn(chat)


def _account(chat: str) -> Account:
    # a private chat has the same id as the person's account
    address = Address.read(chat)
    return Account(address.channel, address.id)
