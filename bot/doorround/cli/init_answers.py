"""The questions of doorround init, and how answers map to the settings file."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import typer

from doorround.cli.prompts import Option, ask_text, choose_one, choose_some
from doorround.config import values
from doorround.config.toml_edit import Value
from doorround.domain.judging.rule_set import GAUGES
from doorround.domain.judging.rule_sets import DEFAULT, SETS
from doorround.domain.schedule.intervals import AppliedRule

INTRODUCTION = """This sets doorround up. Enter accepts the value in brackets; Ctrl-C stops, and
nothing is written before you agree. You can run it again at any time.
"""
TELEGRAM = """Caretakers can talk with the bot on Telegram. Voice notes, photos and texts then pass
through Telegram's servers. The token comes from BotFather there: /newbot."""


@dataclass(frozen=True)
class InitAnswers:
    """As in the settings file; "" and () if unset."""

    site: str = ""
    zone: str = ""
    rules: str = DEFAULT.key
    law: tuple[str, ...] = ()
    gauges: tuple[str, ...] = ()
    token: str = ""
    backups: str = ""

    def as_values(self, elsewhere: Collection[str] = ()) -> dict[tuple[str, ...], Value | None]:
        """By place in the file; None to leave out.

        elsewhere: top-level keys in rules.toml, which the settings file therefore omits.
        """
        found: dict[tuple[str, ...], Value | None] = {
            ("site",): self.site or None,
            ("zone",): self.zone or None,
            ("rules",): self.rules or None,
            ("gauges",): self.gauges or None,
            ("backups",): self.backups or None,
            ("telegram", "token"): self.token or None,
            ("intervals", "rules"): self.law or None,
        }
        return found | {(key,): None for key in elsewhere}


def answers_in(tables: Mapping[str, Any], own_rules: Mapping[str, Any]) -> InitAnswers:
    """Answers from an existing settings file; for the rest, suggestions from this computer."""
    telegram = tables.get("telegram", {})
    intervals = tables.get("intervals", {})
    return InitAnswers(
        site=str(tables.get("site", "")),
        zone=str(tables.get("zone", "") or _zone_here()),
        rules=str({**own_rules, **tables}.get("rules", DEFAULT.key)),
        law=_texts(intervals.get("rules", ()) if isinstance(intervals, Mapping) else ()),
        gauges=_texts({**own_rules, **tables}.get("gauges", ())),
        token=str(telegram.get("token", "") if isinstance(telegram, Mapping) else ""),
        backups=str(tables.get("backups", "")),
    )


def _texts(value: Any) -> tuple[str, ...]:
    if isinstance(value, str):
        return tuple(each.strip() for each in value.split(",") if each.strip())
    return tuple(map(str, value)) if isinstance(value, list) else ()


def _zone_here() -> str:
    from tzlocal import get_localzone_name

    try:
        return str(values.zone(get_localzone_name()))
    except (LookupError, OSError, ValueError):
        return "UTC"


def checked(answers: InitAnswers) -> InitAnswers:
    """The answers, all validated. Raises ValueError saying what to write."""
    for read, text in (
        (values.zone, answers.zone),
        (values.site, answers.site),
        (values.rule_set, answers.rules),
        (values.gauges, ", ".join(answers.gauges)),
        (values.token, answers.token),
    ):
        if text:
            read(text)
    for each in answers.law:
        if each not in list(AppliedRule):
            raise ValueError(f'there is no rule "{each}". Use some of: {", ".join(AppliedRule)}.')
    return answers


def ask_all(offered: InitAnswers) -> InitAnswers:
    """Ask everything in turn. Raises ValueError if input ends."""
    typer.echo(INTRODUCTION)
    found = replace(
        offered,
        site=ask_text("What is the site called, or the building?", offered.site, values.site),
        zone=ask_text("Which time zone is it in?", offered.zone, values.zone),
    )
    found = replace(found, rules=_ask_rules(offered), law=_ask_law(offered))
    found = replace(found, gauges=_ask_gauges(offered))
    typer.echo(f"\n{TELEGRAM}")
    found = replace(
        found,
        token=ask_text("Its token, or Enter for no bot:", offered.token, values.token, hidden=True),
    )
    question = "\nWhere do backups go? Name a folder on another disk or share:"
    return replace(found, backups=_absolute(ask_text(question, offered.backups, values.folder)))


def _absolute(folder: str) -> str:
    return str(Path(folder).expanduser().absolute()) if folder else ""


def _ask_rules(offered: InitAnswers) -> str:
    choices = [Option(key, f"{key}: {each.title}") for key, each in SETS.items()]
    return choose_one("\nWhich rule set are its doors judged by?", choices, offered.rules)


def _ask_law(offered: InitAnswers) -> tuple[str, ...]:
    choices = [Option(str(each), str(each)) for each in AppliedRule]
    question = (
        "\nWhich of these apply to the building? They say how often doors are checked."
        "\nIf you do not know, ask whoever is responsible for its fire safety."
    )
    return tuple(choose_some(question, choices, offered.law))


def _ask_gauges(offered: InitAnswers) -> tuple[str, ...]:
    choices = [Option(each, each) for each in GAUGES]
    question = (
        "\nWhat do you have besides a gap gauge? Questions that need anything else are not asked."
    )
    return tuple(choose_some(question, choices, offered.gauges))
