"""Telegram: updates in through the inbox, messages out through the outbox. The library is the transport only."""

import os

# the library is moving times from whole seconds to timedelta, and warns until one takes its side
os.environ.setdefault("PTB_TIMEDELTA", "true")
