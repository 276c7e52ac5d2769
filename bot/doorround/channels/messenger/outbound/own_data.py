"""Personal data export as a file, created when it is sent: no copy remains on disk."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from doorround.logbook.recordings import own_data
from doorround.logbook.store import Logbook

FILE = "mydata.json"
"""File name in the chat."""


def own_data_file(
    path: Path, zone: str, recordings: Path, clock: Callable[[], datetime], name: str
) -> bytes:
    """All data stored about a person, as JSON. path: the logbook, opened separately: this may take
    seconds, in a thread.
    """
    with Logbook.open(path, zone) as logbook:
        data = own_data(logbook, name, recordings, clock())
    return json.dumps(data, ensure_ascii=False, indent=2).encode("utf-8")
