"""Parses setting values as written, or raises an error saying what to write."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from doorround.config.sources import GivenSetting, SettingsError
from doorround.domain.plain_text import plain_line

Value = TypeVar("Value")
Default = TypeVar("Default")
ENGINES = ("auto", "listeners", "pair", "listener", "vosk", "pocketsphinx")


def of(
    given: Mapping[str, GivenSetting], key: str, read: Callable[[str], Value], default: Default
) -> Value | Default:
    """The value of a key of KEYS; its default if unset.

    Raises SettingsError naming it.
    """
    found = given.get(key)
    if found is None or not found.text:
        return default
    try:
        return read(found.text)
    except ValueError as error:
        raise SettingsError(f"{found.source}: {error}") from error


def folder(text: str) -> Path:
    """A path; "~" is the home directory."""
    return Path(text).expanduser()


def site(text: str) -> str:
    """A site's name, stripped of spaces. Raises ValueError for invisible characters."""
    return plain_line(text, "site")


def bot_name(text: str) -> str:
    """Without its "@"."""
    return text.lstrip("@")


def zone(text: str) -> str:
    """A name in the IANA time zone database. Raises ValueError."""
    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ValueError(
            f'"{text}" is not a time zone. Write one such as Europe/London.'
        ) from error
    return text


def engine(text: str) -> str:
    """One of ENGINES. Raises ValueError."""
    if text not in ENGINES:
        raise ValueError(f'there is no engine "{text}". Use one of: {", ".join(ENGINES)}.')
    return text


def voice(text: str) -> str:
    """ "package", "off", or a command in shell syntax. Raises ValueError."""
    try:
        if shlex.split(text):
            return text.strip()
    except ValueError:
        pass
    raise ValueError(
        f'"{text}" is not a command. Write package, off, or a command such as "espeak-ng '
        '--stdout", which reads text and writes WAV.'
    )


def seconds(text: str) -> float:
    """1 to 3600. Raises ValueError."""
    try:
        found = float(text)
    except ValueError:
        found = 0.0
    if not 1 <= found <= 3600:
        raise ValueError(f'"{text}" is not a length. Write seconds, from 1 to 3600.')
    return found


def days(text: str) -> int:
    """1 to 36500. Raises ValueError."""
    if not text.isdecimal() or not 1 <= int(text) <= 36500:
        raise ValueError(f'"{text}" is not a number of days. Write one of 1 or more.')
    return int(text)


def rule_set(text: str) -> str:
    """A key of SETS. Raises ValueError."""
    from doorround.domain.judging.rule_sets import (
        SETS,
    )  # takes 0.1 s to load, rarely needed

    if text not in SETS:
        raise ValueError(f'there is no rule set "{text}". Use one of: {", ".join(SETS)}.')
    return text


def gauges(text: str) -> tuple[str, ...]:
    """Some of GAUGES, separated by commas. Raises ValueError."""
    from doorround.domain.judging.rule_set import GAUGES

    found = tuple(each.strip() for each in text.split(",") if each.strip())
    for each in found:
        if each not in GAUGES:
            raise ValueError(f'there is no gauge "{each}". Use some of: {", ".join(GAUGES)}.')
    return found


def token(text: str) -> str:
    """The bot's token. Raises ValueError, which never contains it."""
    if not re.fullmatch(r"\d{1,20}:[A-Za-z0-9_-]{8,200}", text.strip()):
        raise ValueError("that is not a token. Write the one from BotFather.")
    return text.strip()


def webhook_secret(text: str) -> str:
    """The secret that Telegram sends with each update. Raises ValueError, which never
    contains it.
    """
    if not re.fullmatch(r"[A-Za-z0-9_-]{16,256}", text):
        raise ValueError("write 16 to 256 letters, digits, _ or -, that nobody can guess.")
    return text


def url(text: str) -> str:
    """An http or https URL. Raises ValueError."""
    if not re.match(r"https?://[^/]+", text):
        raise ValueError(f'"{text}" is not an address. Write one such as https://example.org/bot.')
    return text


def port(text: str) -> int:
    """1 to 65535. Raises ValueError."""
    if not text.isdecimal() or not 1 <= int(text) <= 65_535:
        raise ValueError(f'"{text}" is not a port. Write a number from 1 to 65535.')
    return int(text)


READERS: dict[str, Callable[[str], object]] = {
    "HOME": folder,
    "MODELS": folder,
    "BACKUPS": folder,
    "SITE": site,
    "ZONE": zone,
    "RULES": rule_set,
    "GAUGES": gauges,
    "ENGINE": engine,
    "LONGEST_NOTE": seconds,
    "VOICE": voice,
    "KEEP_RECORDINGS": days,
    "KEEP_PHOTOS": days,
    "BOT_NAME": bot_name,
    "TELEGRAM_TOKEN": token,
    "TELEGRAM_BASE_URL": url,
    "TELEGRAM_BASE_FILE_URL": url,
    "TELEGRAM_WEBHOOK_URL": url,
    "TELEGRAM_WEBHOOK_SECRET": webhook_secret,
    "TELEGRAM_WEBHOOK_LISTEN": str,
    "TELEGRAM_WEBHOOK_PORT": port,
}
"""Parser for each of KEYS."""
