"""The command menu of each known person's chat: what their role may order, cleared when they are
known no more; and of each group that is bound to a site.
"""

from __future__ import annotations

from datetime import datetime

from telegram import Bot, BotCommand, BotCommandScopeChat

from doorround.channels.messenger.outbound.outgoing import Outgoing
from doorround.channels.telegram.wire.updates import CHANNEL
from doorround.dialogue.command_menu import GROUP_MENU, NO_MENU, group_menu, menu_of
from doorround.domain.people import role_named
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


class CommandMenus:
    """Puts menus into the outbox, so that each is set even after a crash, and once."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook
        self._chats = Chats(logbook)
        self._outbox = Outbox(logbook)
        self._people = People(logbook)

    def settle(self, now: datetime) -> bool:
        """Give each chat the menu of its person's role now, whoever changed it, and each group its
        own. Returns whether one was due.
        """
        with self._logbook.writing():
            wanted = {
                account.talk: str(role) for account, role in self._people.roles(CHANNEL).items()
            }
            wanted |= dict.fromkeys(
                (group for group in self._people.groups() if group.startswith(f"{CHANNEL}/")),
                GROUP_MENU,
            )
            given = self._chats.menus()
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
        self._outbox.put(chat, key, self._chats.turn(chat), Outgoing("", menu=menu).as_body(), now)


async def set_menu(bot: Bot, chat: int, menu: str) -> None:
    """Set the menu of a role or of groups in one chat, or take it away. Raises TelegramError."""
    scope = BotCommandScopeChat(chat)
    if menu == NO_MENU:
        await bot.delete_my_commands(scope=scope)
    else:
        orders = group_menu() if menu == GROUP_MENU else menu_of(role_named(menu))
        await bot.set_my_commands([BotCommand(word, does) for word, does in orders], scope=scope)
