"""Settings from the environment: where things lie and how long a recording may be."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

LONGEST_NOTE_S = 180.0
KEEP_RECORDINGS_DAYS = 90


class SettingsError(ValueError):
    """A setting cannot be used. Says which and what to write."""


@dataclass(frozen=True)
class Settings:
    """home: folder of the logbook and the recordings. models: folder of speech models. zone: the site's time zone.
    engine: auto, vosk, pocketsphinx or listener. longest_note_s: seconds of a recording, above which it is refused.
    keep_recordings_days: after a check is signed. bot_name: user name on the messenger, for links; "" where not set.
    """

    home: Path
    models: Path
    zone: str
    engine: str
    longest_note_s: float
    keep_recordings_days: int = KEEP_RECORDINGS_DAYS
    bot_name: str = ""

    @property
    def logbook(self) -> Path:
        return self.home / "logbook.db"

    @property
    def recordings(self) -> Path:
        return self.home / "recordings"


def read_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Settings from the variables DOORROUND_… that the README lists. Raises SettingsError."""
    given = os.environ if environment is None else environment
    home = Path(given.get("DOORROUND_HOME") or Path.home() / ".doorround").expanduser()
    return Settings(
        home=home,
        models=Path(given.get("DOORROUND_MODELS") or _models(home)).expanduser(),
        zone=_zone(given.get("DOORROUND_ZONE") or "UTC"),
        engine=_engine(given.get("DOORROUND_ENGINE") or "auto"),
        longest_note_s=_seconds(given.get("DOORROUND_LONGEST_NOTE") or str(LONGEST_NOTE_S)),
        keep_recordings_days=_days(given.get("DOORROUND_KEEP_RECORDINGS") or str(KEEP_RECORDINGS_DAYS)),
        bot_name=(given.get("DOORROUND_BOT_NAME") or "").lstrip("@"),
    )


def _models(home: Path) -> Path:
    checkout = Path(__file__).resolve().parent.parent / "models"
    return checkout if (checkout / "README.md").is_file() else home / "models"


def _zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise SettingsError(f'DOORROUND_ZONE: "{name}" is no time zone. Write one such as Europe/London.') from error
    return name


def _engine(name: str) -> str:
    known = ("auto", "vosk", "pocketsphinx", "listener")
    if name not in known:
        raise SettingsError(f'DOORROUND_ENGINE: there is no engine "{name}". Use one of: {", ".join(known)}.')
    return name


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 1 <= seconds <= 3600:
        raise SettingsError(f'DOORROUND_LONGEST_NOTE: "{text}" is no length. Write seconds, from 1 to 3600.')
    return seconds


def _days(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 36500:
        raise SettingsError(f'DOORROUND_KEEP_RECORDINGS: "{text}" is no number of days. Write one of 1 or more.')
    return int(text)
