"""doorround grammar: whether answers of opposite meaning sound alike, and how words are
pronounced.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, ChecklistName
from doorround.cli.words import say, words_app

if TYPE_CHECKING:
    from doorround.hearing.grammar.confusable_rules import ConfusablePair

grammar_app = typer.Typer(
    help="Words: which sound alike, how they are pronounced, and your own.", no_args_is_help=True
)
grammar_app.command("say")(say)
grammar_app.add_typer(words_app, name="words")


@grammar_app.command("check")
def check(
    question: Annotated[
        str | None, typer.Option(help="Only this question of the checklist.")
    ] = None,
    worst: Annotated[int, typer.Option(help="Pairs to show per question.", min=1)] = 3,
    checklist: ChecklistName = "routine",
    as_json: AsJson = False,
) -> None:
    """Show which answers of different meaning sound most alike, and how far apart they are.

    Fails if a pass and a fault of one question are too close. Covers every phrase of every
    question, not a sample.
    """
    with cli_errors():
        from doorround.wiring import load_nearness

        near = load_nearness(checklist)
        chosen = _questions(checklist, question)
        shown = [pair for each in chosen for pair in near.worst(each, worst)]
        close = [pair for each in chosen for pair in near.failures(each)]
        if question is None:
            shown += [pair for pairs in near.worst_elsewhere(worst).values() for pair in pairs]
            close += near.failures_at_read_back()
        failed = [pair for pair in close if not pair.allowed]

        rows = [_row(pair, False) for pair in shown if pair not in failed]
        rows += [_row(pair, True) for pair in failed]
        found = (
            f"{len(close)} pairs of opposite meaning under {near.rules.least}, "
            f"{len(failed)} of them not allowed."
        )
        show_listing(("question", "apart", "these two", "why"), rows, as_json, notes=[found])
        if failed:
            raise typer.Exit(1)


def _row(pair: ConfusablePair, fails: bool) -> Row:
    why = "too near" if fails else pair.allowed or ("" if pair.opposite else "other meaning")
    data = {**asdict(pair), "distance": round(pair.distance, 2), "fails": fails}
    cells = (pair.question, f"{pair.distance:.2f}", f"{pair.one} / {pair.other}", why)
    return Row(data, cells, urgent=fails)


def _questions(checklist: str, key: str | None):  # type: ignore[no-untyped-def]
    from doorround.config.resources import load_checklist

    asked = load_checklist(checklist)
    if key is None:
        return list({each.says: each for each in reversed(asked.question)}.values())[::-1]
    try:
        return [asked.ask(key)]
    except KeyError as error:
        raise ValueError(f'There is no question "{key}". See doorround questions.') from error
