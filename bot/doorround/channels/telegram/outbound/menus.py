"""The command menu of one chat, as set on Telegram."""

from __future__ import annotations

from telegram import Bot, BotCommand, BotCommandScopeChat

from doorround.dialogue.command_menu import GROUP_MENU, NO_MENU, group_menu, menu_of
from doorround.domain.people import role_named


async def set_menu(bot: Bot, chat: int, menu: str) -> None:
    """Set the menu of a role or of groups in one chat, or remove it. Raises TelegramError."""
    scope = BotCommandScopeChat(chat)
    if menu == NO_MENU:
        await bot.delete_my_commands(scope=scope)
    else:
        orders = group_menu() if menu == GROUP_MENU else menu_of(role_named(menu))
        await bot.set_my_commands([BotCommand(word, does) for word, does in orders], scope=scope)
