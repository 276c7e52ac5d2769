"""All settings at once: values, sources, and every error."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from doorround.config.catalogue import SETTINGS, WITHOUT_VARIABLES
from doorround.config.schedule_settings import plan_of
from doorround.config.settings import read_telegram
from doorround.config.sources import (
    KEYS,
    PREFIX,
    GivenSetting,
    SettingsError,
    from_file,
    settings_file,
    unknown_names,
    unknown_variables,
)
from doorround.config.values import READERS, of

DEFAULT = "default"
HIDDEN = "set, not shown"


@dataclass(frozen=True)
class Effective:
    """One effective setting. source: a variable, the file, or "default". variable: its own."""

    name: str
    value: str
    source: str
    variable: str | None
    meaning: str


def effective(environment: Mapping[str, str]) -> list[Effective]:
    """Every setting with its value and source. Secrets are not shown.

    Raises SettingsError for an unreadable file.
    """
    path, tables = settings_file(environment)
    given = _given(environment, path, tables)
    return [*_with_variables(given), *_in_tables(path, tables)]


def _given(
    environment: Mapping[str, str], path: Path, tables: Mapping[str, Any]
) -> dict[str, GivenSetting]:
    found = from_file(path, tables, strict=False)
    set_here = {key: f"{PREFIX}{key}" for key in KEYS if environment.get(f"{PREFIX}{key}")}
    return found | {key: GivenSetting(environment[name], name) for key, name in set_here.items()}


def _with_variables(given: Mapping[str, GivenSetting]) -> Iterator[Effective]:
    for setting in SETTINGS:
        if setting.variable is None:
            continue
        found = given.get(setting.variable.removeprefix(PREFIX))
        if found is None:
            value = setting.unset.replace("`", "")
            source = DEFAULT
        else:
            value = HIDDEN if setting.secret else found.text
            source = found.source
        yield Effective(setting.name, value, source, setting.variable, setting.meaning)


def _in_tables(path: Path, tables: Mapping[str, Any]) -> Iterator[Effective]:
    known = {each.name: each for each in SETTINGS if each.table in WITHOUT_VARIABLES}
    inside = {
        f"{table}.{key}": value
        for table in WITHOUT_VARIABLES
        for key, value in _entries(tables, table)
    }
    for name, value in inside.items():
        meaning = known[name].meaning if name in known else ""
        yield Effective(name, _written(value), f"{path}, {name}", None, meaning)
    for name, setting in known.items():
        if name not in inside and setting.table != "intervals":
            value = setting.unset.replace("`", "")
            yield Effective(name, value, DEFAULT, None, setting.meaning)


def problems(environment: Mapping[str, str]) -> list[str]:
    """Every error in the settings, a line each; empty if there are none."""
    try:
        path, tables = settings_file(environment)
    except SettingsError as error:
        return [*unknown_variables(environment), str(error)]
    found = [*unknown_variables(environment), *unknown_names(path, tables)]
    given = _given(environment, path, tables)
    found += [line for key in given for line in _wrong(lambda key=key: _read(given, key))]
    found += _wrong_in_tables(path, tables)
    if not found and "TELEGRAM_TOKEN" in given:
        found += _wrong(lambda: read_telegram(environment))
    return found


def _read(given: Mapping[str, GivenSetting], key: str) -> object:
    return of(given, key, READERS[key], None)


def _wrong_in_tables(path: Path, tables: Mapping[str, Any]) -> Iterator[str]:
    """Errors of single entries or, if there are none, of the tables taken together."""
    single = [
        line
        for table in WITHOUT_VARIABLES
        for key, value in _entries(tables, table)
        for line in _wrong(lambda one={table: {key: value}}: plan_of(path, one))
        if "there is no setting" not in line  # reported with all unknown names
    ]
    yield from single
    if not single:
        named = {name: value for name, value in tables.items() if name in WITHOUT_VARIABLES}
        together = _wrong(lambda: plan_of(path, named))
        yield from (line for line in together if "there is no setting" not in line)


def _entries(tables: Mapping[str, Any], name: str) -> list[tuple[str, Any]]:
    table = tables.get(name, {})
    return list(table.items()) if isinstance(table, Mapping) else []


def _wrong(read: Any) -> list[str]:
    try:
        read()
    except SettingsError as error:
        return [str(error)]
    return []


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
