"""When something was said: the closing time of a door is taken between two messages."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from doorround.channels.messenger.inbound.message_time import when_said
from doorround.channels.messenger.updates import ButtonPress, Message, Writer

NOON = datetime(2026, 5, 28, 12, 0, tzinfo=UTC)
WRITER = Writer("telegram/1", "1", "Kim", True)


def written(at: datetime) -> Message:
    """A message with Telegram's time resolution: whole seconds."""
    return Message(WRITER, "1", at.replace(microsecond=0), "letting go")


def test_what_came_at_once_was_said_when_it_came() -> None:
    received = NOON + timedelta(seconds=1.4)
    assert when_said(written(NOON + timedelta(seconds=0.9)), received) == received
    assert when_said(ButtonPress(WRITER, "1", "x"), received) == received


def test_what_lay_about_was_said_when_telegram_says() -> None:
    assert when_said(written(NOON), NOON + timedelta(hours=2)) == NOON


def test_nothing_was_said_after_it_came() -> None:
    assert when_said(written(NOON + timedelta(seconds=30)), NOON) == NOON


@pytest.mark.parametrize("begun", [0.0, 0.3, 0.95])
def test_between_a_message_and_a_button_no_second_is_lost(begun: float) -> None:
    let_go = NOON + timedelta(seconds=begun)
    between = when_said(ButtonPress(WRITER, "1", "x"), let_go + timedelta(seconds=6)) - when_said(
        written(let_go), let_go
    )
    assert between == timedelta(seconds=6)
