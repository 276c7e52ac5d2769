"""Telegram: updates in through the inbox, messages out through the outbox.

Bottom up: wire, transport, outbound, inbound, serve; each imports only those before it, talk and
messenger.
"""

import os

# the library is moving times from whole seconds to timedelta, and warns until one takes its side
os.environ.setdefault("PTB_TIMEDELTA", "true")
