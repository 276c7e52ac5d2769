"""Settings from a TOML file and the environment: locations, recording limits, Telegram connection.

Each key of the file has a variable: "zone" is DOORROUND_ZONE, "token" of [telegram] is
DOORROUND_TELEGRAM_TOKEN. The variable takes precedence. catalogue.py lists them all.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from doorround.channels.telegram.wire.options import (
    BASE_FILE_URL,
    BASE_URL,
    TelegramOptions,
    Webhook,
)
from doorround.config import values
from doorround.config.data_folder import refuse_open_token
from doorround.config.sources import (
    GivenSetting,
    SettingsError,
    from_file,
    read_sources,
    settings_file,
)

MAX_NOTE_S = 180.0
KEEP_RECORDINGS_DAYS = 90


@dataclass(frozen=True)
class Settings:
    """home: folder of the logbook and the recordings. models: folder of speech models. zone: the
    site's time zone.

    engine: auto, listeners, pair, listener, vosk or pocketsphinx. longest_note_s: maximum length of
    a recording in seconds. keep_recordings_days: after a check is signed. keep_photos_days:
    likewise; None to keep them indefinitely. bot_name: user name on the messenger, for links; "" if
    unset. voice: reads questions aloud: "package", "off", or a command. site: default for new
    doors. rules, gauges: see CustomRules; None and () if only rules.toml sets them. backups: where
    copies go.
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
    site: str = ""
    rules: str | None = None
    gauges: tuple[str, ...] = ()
    backups: Path | None = None

    @property
    def calibration(self) -> Path:
        """Recognition coefficients fitted to an organisation's own voice notes; may not exist."""
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
    """Settings from the variables DOORROUND_… or the file. Raises SettingsError for the first
    invalid one, and for any unknown name in the file.
    """
    given = read_sources(os.environ if environment is None else environment)
    home = values.of(given, "HOME", values.folder, Path.home() / ".doorround")
    return Settings(
        home=home,
        models=values.of(given, "MODELS", values.folder, _models(home)),
        zone=values.of(given, "ZONE", values.zone, "UTC"),
        engine=values.of(given, "ENGINE", values.engine, "auto"),
        longest_note_s=values.of(given, "LONGEST_NOTE", values.seconds, MAX_NOTE_S),
        keep_recordings_days=values.of(given, "KEEP_RECORDINGS", values.days, KEEP_RECORDINGS_DAYS),
        bot_name=values.of(given, "BOT_NAME", values.bot_name, ""),
        keep_photos_days=values.of(given, "KEEP_PHOTOS", values.days, None),
        voice=values.of(given, "VOICE", values.voice, "package"),
        site=values.of(given, "SITE", values.site, ""),
        rules=values.of(given, "RULES", values.rule_set, None),
        gauges=values.of(given, "GAUGES", values.gauges, ()),
        backups=values.of(given, "BACKUPS", values.folder, None),
    )


def read_telegram(environment: Mapping[str, str] | None = None) -> TelegramOptions:
    """Telegram connection settings, from DOORROUND_TELEGRAM_… or the file's [telegram].

    Raises SettingsError.
    """
    environment = os.environ if environment is None else environment
    given = read_sources(environment)
    _refuse_open_file(environment)
    token = values.of(given, "TELEGRAM_TOKEN", values.token, "")
    if not token:
        raise SettingsError("DOORROUND_TELEGRAM_TOKEN is missing. Write the one from BotFather.")
    return TelegramOptions(
        token,
        values.of(given, "TELEGRAM_BASE_URL", values.url, BASE_URL),
        values.of(given, "TELEGRAM_BASE_FILE_URL", values.url, BASE_FILE_URL),
        _webhook(given),
    )


def _webhook(given: Mapping[str, GivenSetting]) -> Webhook | None:
    url = values.of(given, "TELEGRAM_WEBHOOK_URL", values.url, "")
    if not url:
        return None
    secret = values.of(given, "TELEGRAM_WEBHOOK_SECRET", values.webhook_secret, "")
    if not secret:
        raise SettingsError(
            "DOORROUND_TELEGRAM_WEBHOOK_SECRET is missing. Write 16 to 256 letters, digits, _ or -,"
            " that nobody can guess."
        )
    listen = given["TELEGRAM_WEBHOOK_LISTEN"].text if "TELEGRAM_WEBHOOK_LISTEN" in given else None
    port = values.of(given, "TELEGRAM_WEBHOOK_PORT", values.port, Webhook.port)
    return Webhook(url, secret, listen or Webhook.listen, port)


def _refuse_open_file(environment: Mapping[str, str]) -> None:
    """Raises SettingsError if the settings file contains the token, or the webhook's secret, and
    others may read it.
    """
    path, tables = settings_file(environment)
    written = from_file(path, tables)
    secrets = [each for each in ("TELEGRAM_TOKEN", "TELEGRAM_WEBHOOK_SECRET") if each in written]
    if any(written[each].text for each in secrets) and (why := refuse_open_token(path)):
        raise SettingsError(why)


def _models(home: Path) -> Path:
    checkout = Path(__file__).resolve().parents[3] / "models"
    return checkout if (checkout / "README.md").is_file() else home / "models"
