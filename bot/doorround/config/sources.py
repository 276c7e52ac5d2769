"""Source of each setting: a variable, or else the settings file. Unknown names are refused."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from doorround.config.catalogue import SETTINGS, WITHOUT_VARIABLES
from doorround.domain.toml_text import read_toml

FILE = "doorround.toml"
PREFIX = "DOORROUND_"
KEYS = tuple(each.variable.removeprefix(PREFIX) for each in SETTINGS if each.variable)
"""Settings that have a variable, by the variable's name without DOORROUND_."""
ELSEWHERE = ("SETTINGS", "SPEECH")
"""Variables that are not settings: the path of the settings file, and those used by tests and
benchmarks.
"""
_BY_KEY = dict(zip(KEYS, (each for each in SETTINGS if each.variable), strict=True))


class SettingsError(ValueError):
    """An invalid setting. Says which and what to write."""


@dataclass(frozen=True)
class GivenSetting:
    """text: the value as written. source: the variable's name, or the file and the name in it."""

    text: str
    source: str


def read_sources(environment: Mapping[str, str]) -> dict[str, GivenSetting]:
    """Settings given, by the keys of KEYS; variables take precedence over the file. Raises
    SettingsError.

    The file: DOORROUND_SETTINGS, or else doorround.toml in the data folder, if it exists.
    """
    for unknown in unknown_variables(environment):
        raise SettingsError(unknown)
    path, tables = settings_file(environment)
    found = from_file(path, tables)
    for key in KEYS:
        if text := environment.get(f"{PREFIX}{key}"):
            found[key] = GivenSetting(text, f"{PREFIX}{key}")
    return found


def from_file(
    path: Path, tables: Mapping[str, Any], strict: bool = True
) -> dict[str, GivenSetting]:
    """The file's settings, by the keys of KEYS. Raises SettingsError for an unknown name, unless
    not strict.
    """
    for unknown in unknown_names(path, tables) if strict else ():
        raise SettingsError(unknown)
    flat = _flat({name: value for name, value in tables.items() if name not in WITHOUT_VARIABLES})
    return {
        key: GivenSetting(text, f"{path}, {_BY_KEY[key].name}") for key, text in flat if key in KEYS
    }


def settings_file(environment: Mapping[str, str]) -> tuple[Path, dict[str, Any]]:
    """The settings file and its contents; {} if there is none. Raises SettingsError."""
    named = environment.get("DOORROUND_SETTINGS")
    home = Path(environment.get("DOORROUND_HOME") or Path.home() / ".doorround").expanduser()
    path = Path(named).expanduser() if named else home / FILE
    if not named and not path.is_file():
        return path, {}
    try:
        return path, read_toml(path.read_text(encoding="utf-8"), path.name)
    except (OSError, ValueError) as error:
        raise SettingsError(f"{path} cannot be read: {str(error).removesuffix('.')}.") from error


def unknown_variables(environment: Mapping[str, str]) -> Iterator[str]:
    """A line for each unknown variable DOORROUND_…, with the closest known one."""
    known = [f"{PREFIX}{key}" for key in (*KEYS, *ELSEWHERE)]
    for name in environment:
        if name.startswith(PREFIX) and name not in known:
            yield f"{name}: there is no such setting. {nearest(name, known)}"


def unknown_names(path: Path, tables: Mapping[str, Any]) -> Iterator[str]:
    """A line for each unknown name in the file, with the closest known one."""
    known = [each.name for each in SETTINGS]
    top = {name: value for name, value in tables.items() if name not in WITHOUT_VARIABLES}
    for key, name in zip((key for key, _ in _flat(top)), _names(top), strict=True):
        if key not in KEYS:
            yield f'{path}: there is no setting "{name}". {nearest(name, known)}'
    for table in ("reminders", "defects"):
        keys = [each.key for each in SETTINGS if each.table == table]
        inside = tables.get(table, {})
        for key in inside if isinstance(inside, Mapping) else ():
            if key.replace("_", " ") not in (known.replace("_", " ") for known in keys):
                yield f'{path}, [{table}]: there is no setting "{key}". {nearest(key, keys)}'


def nearest(name: str, known: list[str]) -> str:
    """The closest known name, or where they are all listed."""
    near = difflib.get_close_matches(name, known, n=1)
    return f"Is “{near[0]}” meant?" if near else "See: doorround settings show"


def _flat(table: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        name = f"{before}{key}".upper()
        if isinstance(value, Mapping):
            yield from _flat(value, f"{name}_")
        elif isinstance(value, list):
            yield name, ", ".join(map(str, value))
        else:
            yield name, str(value)


def _names(table: Mapping[str, Any], before: str = "") -> Iterator[str]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _names(value, f"{before}{key}.")
        else:
            yield f"{before}{key}"
