"""The command menu of each known person's chat, according to role, cleared when they leave; and of
each group bound to a site.
"""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.command_menu import GROUP_MENU, NO_MENU
from doorround.domain.address import is_of
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


class CommandMenus:
    """Puts one channel's menus into the outbox, so that each is set once, even after a crash."""

    def __init__(self, logbook: Logbook, channel: str) -> None:
        self._logbook = logbook
        self._channel = channel
        self._chats = Chats(logbook)
        self._outbox = Outbox(logbook, channel)
        self._people = People(logbook)

    def settle(self, now: datetime) -> bool:
        """Send each chat the menu of its person's current role, whoever changed it, and each group
        its own. Returns whether any was due.
        """
        with self._logbook.writing():
            roles = self._people.roles(self._channel)
            groups = [each for each in self._people.groups() if is_of(self._channel, each)]
            wanted = {account.talk: str(role) for account, role in roles.items()}
            wanted |= dict.fromkeys(groups, GROUP_MENU)
            given = self._chats.menus(self._channel)
            gone = {chat: NO_MENU for chat in given if chat not in wanted}
            due = {chat: menu for chat, menu in (wanted | gone).items() if given.get(chat) != menu}
            for chat, menu in due.items():
                self._give(chat, menu, now)
            return bool(due)

    def _give(self, chat: str, menu: str, now: datetime) -> None:
        if menu == NO_MENU:
            self._chats.belong(chat, None)
        self._chats.give_menu(chat, menu)
        last = self._outbox.last(chat)
        key = f"menu/{chat}/{last.id if last else 0}"
        self._outbox.put(chat, key, self._chats.turn(chat), Outgoing("", menu=menu), now)
