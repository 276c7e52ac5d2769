"""Opens the data folder's logbook: a separate module, so that read-only commands load no engines
and no talk.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from doorround.config.data_folder import private_home
from doorround.config.sample_data import NOTICE, is_sample
from doorround.config.settings import Settings
from doorround.logbook.noted_line import tell_noted
from doorround.logbook.opening import refuse_missing
from doorround.logbook.store import Logbook


def open_logbook(settings: Settings) -> Logbook:
    """The data folder's logbook, created if missing; only this account may read it."""
    tell_private(settings.home)
    logbook = Logbook.open(settings.logbook, settings.zone, lambda: datetime.now(UTC))
    tell_noted(logbook, sys.stderr)
    return logbook


def tell_private(home: Path) -> None:
    """Make the data folder and its contents private, and say on stderr what others could read until
    now.
    """
    if is_sample(home):
        print(f"doorround: {NOTICE}", file=sys.stderr)
    line = private_home(home)
    if line:
        print(f"doorround: {line}", file=sys.stderr)


def open_existing(settings: Settings) -> Logbook:
    """The data folder's logbook. Raises LogbookError if there is none; creates nothing."""
    refuse_missing(settings.logbook)
    return open_logbook(settings)
