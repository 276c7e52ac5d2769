"""Parses the tables [intervals], [reminders] and [defects] of the settings file into a Plan."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from datetime import time
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from doorround.config.sources import SettingsError, nearest, settings_file
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.intervals import AppliedRule, HouseInterval, Intervals
from doorround.domain.schedule.plan import PICTURES, WEEKDAYS, Plan
from doorround.domain.schedule.recurrence import Recurrence, read_recurrence
from doorround.domain.validation_errors import plain_error
from doorround.reminders.calendar import public_holidays

Value = TypeVar("Value")


def read_plan(environment: Mapping[str, str] | None = None) -> Plan:
    """Intervals and reminders from the settings file; defaults if unset.

    Raises SettingsError.
    """
    return plan_of(*settings_file(os.environ if environment is None else environment))


def plan_of(path: Path, tables: Mapping[str, Any]) -> Plan:
    """The plan from a settings file's tables. Raises SettingsError naming path."""
    given = _table(path, tables, "reminders")
    asked: dict[str, Any] = {"intervals": _intervals(path, _table(path, tables, "intervals"))}
    for key, value in given.items():
        if key not in _READ:
            near = nearest(key, list(_READ))
            raise SettingsError(f'{path}, [reminders]: there is no setting "{key}". {near}')
        asked[key] = _told(path, f"[reminders] {key}", _READ[key], value)
    _no_silence(
        path, plan := Plan(**asked, defects=_targets(path, _table(path, tables, "defects")))
    )
    _known_country(path, plan)
    return plan


def _table(path: Path, tables: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    table = tables.get(name, {})
    if not isinstance(table, Mapping):
        raise SettingsError(f"{path}: [{name}] is a table. Write its settings under that line.")
    return table


def _intervals(path: Path, table: Mapping[str, Any]) -> Intervals:
    rules: tuple[AppliedRule, ...] = ()
    uses: dict[Use, Recurrence | HouseInterval] = {}
    doors: dict[str, Recurrence | HouseInterval] = {}
    for key, value in table.items():
        where = f'[intervals] "{key}"'
        if key == "rules":
            rules = _told(path, where, _rules, value)
        elif key.startswith("door "):
            doors[key.removeprefix("door ").strip()] = _told(path, where, _house, value)
        else:
            use = _told(path, where, _use, key)
            uses[use] = _told(path, where, _house, value)
    return Intervals(rules, uses, doors)


def _told(path: Path, where: str, read: Callable[[Any], Value], value: Any) -> Value:
    try:
        return read(value)
    except (ValueError, TypeError) as error:
        raise SettingsError(f"{path}, {where}: {error}") from error


def _house(value: Any) -> HouseInterval:
    """An interval, or a table with the interval, the reason and the person."""
    if not isinstance(value, Mapping):
        return HouseInterval(read_recurrence(str(value)))
    if unknown := sorted(set(value) - {"every", "why", "by"}):
        raise ValueError(f'there is no "{unknown[0]}". Write every, why and by.')
    why, by = (str(value.get(key, "")).strip() for key in ("why", "by"))
    if "every" not in value or not why or not by:
        raise ValueError('write { every = "3 months", why = "the reason", by = "who set it" }.')
    return HouseInterval(read_recurrence(str(value["every"])), why, by)


def _rules(value: Any) -> tuple[AppliedRule, ...]:
    return tuple(_rule(each) for each in value)


def _rule(text: str) -> AppliedRule:
    try:
        return AppliedRule(text)
    except ValueError:
        raise ValueError(
            f'there is no rule "{text}". Use one of: {", ".join(AppliedRule)}.'
        ) from None


def _use(text: str) -> Use:
    try:
        return Use(text)
    except ValueError:
        raise ValueError(f'write "rules", "door 14", or a use: {", ".join(Use)}.') from None


def _time(value: Any) -> time:
    found = value if isinstance(value, time) else time.fromisoformat(str(value))
    if found.tzinfo is not None:
        raise ValueError("write a local time without a zone, such as 08:00.")
    return found


def _days(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 60:
        raise ValueError("write a number of days from 1 to 60.")
    return value


def _picture(value: Any) -> str:
    if value not in PICTURES:
        raise ValueError(f"write one of: {', '.join(PICTURES)}.")
    return str(value)


def _yes_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError("write true or false.")
    return value


def _weekdays(value: Any) -> frozenset[int]:
    wrong = [day for day in value if day not in WEEKDAYS]
    if wrong or isinstance(value, str) or len(set(value)) == 7:
        raise ValueError(f"write a list of some of: {', '.join(WEEKDAYS)}; not all of them.")
    return frozenset(WEEKDAYS.index(day) for day in value)


_READ: dict[str, Callable[[Any], Any]] = {
    "nudge_at": _time,
    "summary_at": _time,
    "quiet_from": _time,
    "quiet_until": _time,
    "days_off": _weekdays,
    "country": str,
    "region": str,
    "second_after": _days,
    "supervisor_after": _days,
    "retry_after": _days,
    "escalate_after": _days,
    "snooze_days": _days,
    "out_after": _days,
    "picture": _picture,
    "danger_breaks_quiet": _yes_no,
    "alerts_to_group": _yes_no,
    "summary_to_group": _yes_no,
}


def _targets(path: Path, table: Mapping[str, Any]) -> Targets:
    try:
        return Targets.model_validate(
            {key.replace(" ", "_"): value for key, value in table.items()}
        )
    except ValidationError as error:
        raise SettingsError(
            f"{path}, [defects] {plain_error(error, Targets.model_fields)}"
        ) from error


def _known_country(path: Path, plan: Plan) -> None:
    try:
        public_holidays(plan.country, plan.region, 2026)
    except ValueError as error:
        raise SettingsError(f"{path}, [reminders] country: {error}.") from error


def _no_silence(path: Path, plan: Plan) -> None:
    """A message whose sending time lies within quiet hours would never be sent."""
    for name, at in (("nudge_at", plan.nudge_at), ("summary_at", plan.summary_at)):
        if plan.quiet(at):
            raise SettingsError(
                f"{path}, [reminders] {name}: {at:%H:%M} lies in the quiet hours. Choose another"
                " time."
            )
