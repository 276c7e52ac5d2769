"""doorround judge, doorround rules: judges a door in a file, and lists the rules."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors, text_of
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, ChecklistName

if TYPE_CHECKING:
    from doorround.domain.checklist import Checklist
    from doorround.domain.judging.door_verdict import Judgement

rules_app = typer.Typer(
    help="The rules that doors are judged by, with their sources.", no_args_is_help=True
)
_Set = Annotated[
    str | None,
    typer.Option(
        "--set",
        help="england-flats, uk-premises, nfpa-80 or one of its editions, nfpa-80-2016.",
    ),
]


def judge(
    files: Annotated[
        list[Path], typer.Argument(help="TOML files, each with a door and its answers.")
    ],
    as_json: AsJson = False,
    rules: _Set = None,
    checklist: ChecklistName = "routine",
) -> None:
    """Judge doors and answers from files, without a logbook. The format: docs/judging.md."""
    bad = 0
    for path in files:
        try:
            with cli_errors():
                _judge_file(path, checklist, rules, as_json)
        except typer.Exit:
            bad += 1
    if bad:
        raise typer.Exit(2)


def _judge_file(path: Path, checklist: str, rules: str | None, as_json: bool) -> None:
    from doorround.cli.door_file import read_door_file
    from doorround.cli.judged_file import judgement_json, on_day
    from doorround.domain.judging.door_verdict import judge_door

    text = text_of(path)
    read = read_door_file(
        text, path.name, lambda named, site: _under(checklist, rules or named, site)
    )
    door, notes = on_day(read.door, datetime.now(UTC).date())
    judgement = judge_door(door, read.answers, read.asked)
    judgement = judgement.model_copy(update={"evidence": (*judgement.evidence, *notes)})
    if as_json:
        given = judgement_json(door, judgement, read.asked)
        typer.echo(json.dumps(given, ensure_ascii=False))
        return
    typer.echo(f"Door {read.door.number}, by {read.asked.rules.title}. {judgement.sentence}")
    for line in _judgement_lines(judgement):
        typer.echo(f"  {line}")


def _judgement_lines(judgement: Judgement) -> list[str]:
    """Findings, most severe first; parts not checked; further notes."""
    lines = []
    for each in judgement.findings:
        soon = "made good" if each.made_good else each.severity or "not checked"
        lines.append(
            f"{soon:<11} {each.rule}: {each.what}. {each.why} {each.do_now} [{each.source}]"
        )
    lines += _labelled("Not checked", judgement.not_checked)
    lines += judgement.evidence
    lines += _labelled("Relaxed by your own rules", judgement.loosened)
    lines += _labelled("For a competent person", judgement.competent)
    return [*lines, judgement.limit]


def _labelled(label: str, parts: tuple[str, ...]) -> list[str]:
    return [f"{label}: {'; '.join(parts)}."] if parts else []


def _under(checklist: str, rules: str | None, site: str = "") -> Checklist:
    from doorround.config.resources import load_checklist
    from doorround.config.schedule_settings import read_plan
    from doorround.domain.judging.custom_rules import with_custom_rules
    from doorround.wiring import load_own_rules

    own = load_own_rules()
    if rules:
        own = type(own).model_validate({**own.model_dump(), "rules": rules, "site": {}})
    return with_custom_rules(load_checklist(checklist), own, read_plan().defects).at_site(site)


@rules_app.command("list")
def list_rules(rules: _Set = None, as_json: AsJson = False) -> None:
    """List every rule: severity, key, requirement, source.

    Then the sets, and the rules that rules.toml loosens.
    """
    with cli_errors():
        from doorround.domain.judging.rule_listing import described_rules
        from doorround.domain.judging.rule_sets import SETS

        asked = _under("routine", rules)
        rows = [
            Row(rule, (rule["severity"] or "not used", rule["key"], rule["says"], rule["source"]))
            for rule in described_rules(asked)
        ]
        sets = "; ".join(f"{each.key}, {each.title}" for each in SETS.values())
        notes = [
            f"\nDefault set, unless a site has its own: {asked.rules.key}, {asked.rules.title}.",
            f"Sets: {sets}.",
            *_labelled("Relaxed by your own rules", asked.rules.loosened),
            asked.caution,
        ]
        show_listing(("how soon", "rule", "what it says", "source"), rows, as_json, notes=notes)


@rules_app.command("show")
def show_rule(
    key: Annotated[str, typer.Argument(help="Key of the rule, such as gaps.too_wide.")],
    rules: _Set = None,
    as_json: AsJson = False,
) -> None:
    """Show one rule: severity, limits with their sources, questions, points of published lists, an
    example.
    """
    with cli_errors():
        from doorround.domain.judging.rule_listing import described_rules, described_set
        from doorround.domain.judging.rule_sets import SETS

        found = [rule for rule in described_rules(_under("routine", rules)) if rule["key"] == key]
        if key in SETS:
            found = [described_set(_under("routine", key).rules)]
        if not found:
            raise ValueError(f'There is no rule "{key}". See doorround rules list.')
        shown_rule = {**found[0], "caution": _under("routine", rules).caution}
        if as_json:
            typer.echo(json.dumps(shown_rule, ensure_ascii=False))
            return
        for name, value in shown_rule.items():
            if value not in (None, [], {}, ""):
                shown = "; ".join(map(str, value)) if isinstance(value, list) else value
                typer.echo(f"{name:<10} {shown}")
