"""Maps Telegram errors to delivery outcomes."""

from __future__ import annotations

from datetime import timedelta

from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
)

from doorround.channels.messenger.channel import (
    ChatMoved,
    DeliveryError,
    NotConnected,
    Refused,
    SlowDown,
    Unreachable,
)
from doorround.channels.telegram.wire.updates import chat_name


def delivery_error(error: TelegramError) -> DeliveryError:
    """A message's outcome, from the library's exception."""
    match error:
        case RetryAfter():
            return SlowDown(str(error), seconds_asked(error))
        case ChatMigrated():
            return ChatMoved(str(error), chat_name(error.new_chat_id))
        case Forbidden():
            return Unreachable(str(error))
        case InvalidToken():
            # nothing is dropped while the token is wrong
            return NotConnected(str(error))
        case BadRequest():
            return Refused(str(error))
        case NetworkError() if "ConnectError" in str(error):
            return NotConnected(str(error))
        case _:
            return DeliveryError(str(error))


def seconds_asked(error: TelegramError) -> float:
    """How long Telegram asks us to wait; 0 if it does not."""
    after = error.retry_after if isinstance(error, RetryAfter) else 0
    return after.total_seconds() if isinstance(after, timedelta) else float(after)
