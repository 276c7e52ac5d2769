"""Settings from a TOML file and the environment: where things lie, how long a recording may be, how
to reach Telegram.

Each key of the file has a variable: "zone" is DOORROUND_ZONE, "token" of [telegram] is
DOORROUND_TELEGRAM_TOKEN. The variable wins.
"""

from __future__ import annotations

import difflib
import os
import re
import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from doorround.channels.telegram.wire.options import (
    BASE_FILE_URL,
    BASE_URL,
    TelegramOptions,
    Webhook,
)
from doorround.config.data_folder import refuse_open_token
from doorround.domain.toml_text import read_toml

MAX_NOTE_S = 180.0
KEEP_RECORDINGS_DAYS = 90
FILE = "doorround.toml"
TABLES = ("intervals", "reminders", "defects")
"""Tables of the file that have no variables: bot/doorround/config/schedule_settings.py reads
them.
"""
KEYS = (
    "HOME",
    "MODELS",
    "ZONE",
    "ENGINE",
    "LONGEST_NOTE",
    "KEEP_RECORDINGS",
    "KEEP_PHOTOS",
    "BOT_NAME",
    "VOICE",
    "TELEGRAM_TOKEN",
    "TELEGRAM_BASE_URL",
    "TELEGRAM_BASE_FILE_URL",
    "TELEGRAM_WEBHOOK_URL",
    "TELEGRAM_WEBHOOK_SECRET",
    "TELEGRAM_WEBHOOK_LISTEN",
    "TELEGRAM_WEBHOOK_PORT",
)
ELSEWHERE = ("SETTINGS", "SPEECH")
"""Variables that name no setting: the settings file itself, and what tests and benchmarks measure
with.
"""


class SettingsError(ValueError):
    """A setting cannot be used. Says which and what to write."""


@dataclass(frozen=True)
class Settings:
    """home: folder of the logbook and the recordings. models: folder of speech models. zone: the
    site's time zone.
    engine: auto, listeners, pair, listener, vosk or pocketsphinx. longest_note_s: seconds of a
    recording, above which it is refused.
    keep_recordings_days: after a check is signed. keep_photos_days: likewise; None to keep them for
    good. bot_name: user name on the messenger, for links; "" where not set. voice: what reads
    questions aloud: "package", "off", or a command.
    """

    home: Path
    models: Path
    zone: str
    engine: str
    longest_note_s: float
    keep_recordings_days: int = KEEP_RECORDINGS_DAYS
    bot_name: str = ""
    keep_photos_days: int | None = None
    voice: str = "package"

    @property
    def calibration(self) -> Path:
        """How hearing is weighed, fitted on an organisation's own voice notes; may be missing."""
        return self.home / "calibration.toml"

    @property
    def logbook(self) -> Path:
        return self.home / "logbook.db"

    @property
    def own_words(self) -> Path:
        return self.home / "words.toml"

    @property
    def own_rules(self) -> Path:
        return self.home / "rules.toml"

    @property
    def recordings(self) -> Path:
        return self.home / "recordings"


def read_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Settings from the variables DOORROUND_… that the README lists, or the file.

    Raises SettingsError.
    """
    given = with_file(os.environ if environment is None else environment)
    home = Path(given.get("DOORROUND_HOME") or Path.home() / ".doorround").expanduser()
    return Settings(
        home=home,
        models=Path(given.get("DOORROUND_MODELS") or _models(home)).expanduser(),
        zone=_zone(given.get("DOORROUND_ZONE") or "UTC"),
        engine=_engine(given.get("DOORROUND_ENGINE") or "auto"),
        longest_note_s=_seconds(given.get("DOORROUND_LONGEST_NOTE") or str(MAX_NOTE_S)),
        keep_recordings_days=_days(given, "DOORROUND_KEEP_RECORDINGS") or KEEP_RECORDINGS_DAYS,
        bot_name=(given.get("DOORROUND_BOT_NAME") or "").lstrip("@"),
        keep_photos_days=_days(given, "DOORROUND_KEEP_PHOTOS"),
        voice=_voice(given.get("DOORROUND_VOICE") or "package"),
    )


def read_telegram(environment: Mapping[str, str] | None = None) -> TelegramOptions:
    """How to reach Telegram, from DOORROUND_TELEGRAM_… or the file's [telegram].

    Raises SettingsError.
    """
    environment = os.environ if environment is None else environment
    given = with_file(environment)
    _refuse_open_file(environment)
    token = (given.get("DOORROUND_TELEGRAM_TOKEN") or "").strip()
    if not re.fullmatch(r"\d{1,20}:[A-Za-z0-9_-]{8,200}", token):
        raise SettingsError(
            f"DOORROUND_TELEGRAM_TOKEN is {'no token' if token else 'missing'}. Write the one that"
            " BotFather gave you."
        )
    return TelegramOptions(
        token,
        _url(given, "DOORROUND_TELEGRAM_BASE_URL", BASE_URL),
        _url(given, "DOORROUND_TELEGRAM_BASE_FILE_URL", BASE_FILE_URL),
        _webhook(given),
    )


def _refuse_open_file(environment: Mapping[str, str]) -> None:
    """Raises SettingsError where the settings file holds the token, or the webhook's secret, and
    others may read it.
    """
    path, tables = settings_file(environment)
    names = {
        name for name, value in _flat({k: v for k, v in tables.items() if k not in TABLES}) if value
    }
    if names & {"TELEGRAM_TOKEN", "TELEGRAM_WEBHOOK_SECRET"}:
        why = refuse_open_token(path)
        if why:
            raise SettingsError(why)


def _webhook(given: Mapping[str, str]) -> Webhook | None:
    url = given.get("DOORROUND_TELEGRAM_WEBHOOK_URL")
    secret = given.get("DOORROUND_TELEGRAM_WEBHOOK_SECRET") or ""
    if not url:
        return None
    if not re.fullmatch(r"[A-Za-z0-9_-]{16,256}", secret):
        raise SettingsError(
            "DOORROUND_TELEGRAM_WEBHOOK_SECRET: write 16 to 256 letters, digits, _ or -, that"
            " nobody can guess."
        )
    listen = given.get("DOORROUND_TELEGRAM_WEBHOOK_LISTEN") or Webhook.listen
    port = given.get("DOORROUND_TELEGRAM_WEBHOOK_PORT") or str(Webhook.port)
    if not port.isdecimal() or not 1 <= int(port) <= 65_535:
        raise SettingsError(
            f'DOORROUND_TELEGRAM_WEBHOOK_PORT: "{port}" is no port. Write a number from 1 to 65535.'
        )
    return Webhook(_url(given, "DOORROUND_TELEGRAM_WEBHOOK_URL", ""), secret, listen, int(port))


def _url(given: Mapping[str, str], name: str, default: str) -> str:
    url = given.get(name) or default
    if not re.match(r"https?://[^/]+", url):
        raise SettingsError(
            f'{name}: "{url}" is no address. Write one such as'
            f" {default or 'https://example.org/bot'}."
        )
    return url


def with_file(environment: Mapping[str, str]) -> dict[str, str]:
    """The environment, with what it leaves open taken from the settings file. Raises SettingsError.

    The file: DOORROUND_SETTINGS, else doorround.toml in the data folder, where there is one.
    """
    _refuse_unknown(environment)
    path, tables = settings_file(environment)
    read = dict(_flat({name: value for name, value in tables.items() if name not in TABLES}))
    for key in read:
        if key not in KEYS:
            raise SettingsError(
                f'{path}: there is no setting "{key.lower()}". README lists them all.'
            )
    return {f"DOORROUND_{key}": value for key, value in read.items()} | {
        k: v for k, v in environment.items() if v
    }


def settings_file(environment: Mapping[str, str]) -> tuple[Path, dict[str, Any]]:
    """The settings file and what stands in it; {} where there is none. Raises SettingsError."""
    named = environment.get("DOORROUND_SETTINGS")
    home = Path(environment.get("DOORROUND_HOME") or Path.home() / ".doorround").expanduser()
    path = Path(named).expanduser() if named else home / FILE
    if not named and not path.is_file():
        return path, {}
    try:
        return path, read_toml(path.read_text(encoding="utf-8"), FILE)
    except (OSError, ValueError) as error:
        raise SettingsError(f"{path} cannot be read: {error}.") from error


def _refuse_unknown(environment: Mapping[str, str]) -> None:
    known = [f"DOORROUND_{key}" for key in (*KEYS, *ELSEWHERE)]
    for name in environment:
        if name.startswith("DOORROUND_") and name not in known:
            near = difflib.get_close_matches(name, known, n=1)
            hint = f"Is {near[0]} meant?" if near else "README lists them all."
            raise SettingsError(f"{name}: there is no such setting. {hint}")


def _flat(table: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        name = f"{before}{key}".upper()
        if isinstance(value, Mapping):
            yield from _flat(value, f"{name}_")
        else:
            yield name, str(value)


def _models(home: Path) -> Path:
    checkout = Path(__file__).resolve().parents[3] / "models"
    return checkout if (checkout / "README.md").is_file() else home / "models"


def _zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise SettingsError(
            f'DOORROUND_ZONE: "{name}" is no time zone. Write one such as Europe/London.'
        ) from error
    return name


def _engine(name: str) -> str:
    known = ("auto", "listeners", "pair", "listener", "vosk", "pocketsphinx")
    if name not in known:
        raise SettingsError(
            f'DOORROUND_ENGINE: there is no engine "{name}". Use one of: {", ".join(known)}.'
        )
    return name


def _voice(text: str) -> str:
    try:
        if shlex.split(text):
            return text.strip()
    except ValueError:
        pass
    raise SettingsError(
        f'DOORROUND_VOICE: "{text}" is no command. Write package, off, or a command such as '
        '"espeak-ng --stdout", which reads words and writes WAV.'
    )


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 1 <= seconds <= 3600:
        raise SettingsError(
            f'DOORROUND_LONGEST_NOTE: "{text}" is no length. Write seconds, from 1 to 3600.'
        )
    return seconds


def _days(given: Mapping[str, str], name: str) -> int | None:
    text = given.get(name) or ""
    if text and (not text.isdecimal() or not 1 <= int(text) <= 36500):
        raise SettingsError(f'{name}: "{text}" is no number of days. Write one of 1 or more.')
    return int(text) if text else None
