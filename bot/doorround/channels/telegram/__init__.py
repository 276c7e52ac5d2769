"""Telegram: updates in through the inbox, messages out through the outbox.

Bottom up: wire, transport, outbound, inbound, serve; each imports only those before it, talk and
messenger.
"""

import os

# the library is changing durations from whole seconds to timedelta, and warns until one is chosen
os.environ.setdefault("PTB_TIMEDELTA", "true")
