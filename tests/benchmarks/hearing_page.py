"""The measured trials as text: tables, wrong passes, and the page docs/hearing/README.md. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any

from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE
from tests.benchmarks.figures import at_most, wilson

NOISES = ("pink", "voices")
"""Kinds of noise in which both people and trade phrases are heard."""

Row = dict[str, Any]
"""One trial: a line of the work file of bench_noise or of bench_questions."""


def is_answer(row: Row) -> bool:
    """Whether "yes" or "no" is said in it."""
    return row["words"] in ("yes", "no")


def is_right(row: Row) -> bool:
    """Whether the best phrase is what was said."""
    return bool(row["phrase"] == row["words"])


def by_condition(rows: Iterable[Row]) -> dict[str, list[Row]]:
    """The trials of each condition, conditions in the order in which they were heard."""
    some: dict[str, list[Row]] = {}
    for row in rows:
        some.setdefault(row["condition"], []).append(row)
    return some


def share(rows: list[Row], holds: Callable[[Row], bool]) -> float:
    """Percent of the rows for which it holds; 0 where there are none."""
    return 100 * sum(map(holds, rows)) / len(rows) if rows else 0.0


def interval(rows: list[Row], holds: Callable[[Row], bool]) -> str:
    """Percent and the two ends of its 95 % interval."""
    if not rows:
        return ""
    low, high = wilson(sum(map(holds, rows)), len(rows))
    return f"{share(rows, holds):.1f} ({100 * low:.1f} to {100 * high:.1f})"


def pace(rows: list[Row], seconds: str = "seconds") -> float:
    """Time spent as a share of the length of what was heard."""
    return float(sum(row[seconds] for row in rows) / sum(row["length"] for row in rows))


def table(rows: list[Row]) -> str:
    """Yes, no, strangers and silence as Markdown: one row a condition."""
    lines = [
        (
            "| | yes, no | right at first go, % | right and accepted, % | wrong passes | of | at"
            " most, % | non-answers accepted | of | time / length |"
        ),
        "|---" * 10 + "|",
    ]
    for condition, some in by_condition(rows).items():
        asked = [row for row in some if is_answer(row)]
        others = [row for row in some if not is_answer(row)]
        trials = [row for row in some if row["words"] != "yes"]
        wrong = sum(row["wrong_pass"] for row in trials)
        most = f"{100 * at_most(wrong, len(trials)):.1f}" if trials else ""
        shares = share(asked, is_right), share(asked, lambda row: row["accepted"] and is_right(row))
        cells = [
            condition,
            len(asked),
            *(f"{each:.1f}" for each in shares),
            wrong,
            len(trials),
            most,
        ]
        cells += [sum(row["accepted"] for row in others), len(others), f"{pace(some):.3f}"]
        lines.append("| " + " | ".join(map(str, cells)) + " |")
    return "\n".join(lines)


def beside(rows: list[Row]) -> str:
    """The same clean clips heard by others, as Markdown; a line that says so where none was."""
    some = [row for row in rows if "written" in row]
    if not some:
        return "No clip of this run was also transcribed."
    ours = sum(row["seconds"] for row in some)
    lines = [
        f"| {len(some)} clean yes and no | right, % | time / length | time, ours = 1 |",
        "|---|---|---|---|",
    ]
    engines = (
        ("doorround", "phrase", "seconds"),
        (
            "faster-whisper's own transcription, tiny.en, compared as text",
            "written",
            "written_seconds",
        ),
        ("PocketSphinx with default settings, same two words allowed", "plain", "plain_seconds"),
    )
    for name, said, seconds in engines:
        right = interval(
            [{**row, "right": row[said] == row["words"]} for row in some], lambda row: row["right"]
        )
        spent = sum(row[seconds] for row in some) / ours
        lines.append(f"| {name} | {right} | {pace(some, seconds):.3f} | {spent:.1f} |")
    return "\n".join(lines)


def wrong_passes(rows: list[Row]) -> str:
    """Each wrong pass with its clip and condition; a line that says so where there is none."""
    wrong = [row for row in rows if row["wrong_pass"]]
    if not wrong:
        return f"No wrong pass in {len(rows)} trials."
    return "\n".join(
        f"- `{row['clip']}`, {row['condition']}: {row['words'].strip('_')} said, yes heard,"
        f" {row['probability']:.2f}"
        for row in wrong
    )


def phrase_table(rows: list[Row]) -> str:
    """Trade phrases, each at its own question, as Markdown: one row a condition."""
    lines = [
        (
            "| | phrases | right at first go, % | right and accepted, % | accepted wrong | wrong"
            " passes | time / length |"
        ),
        "|---" * 7 + "|",
    ]
    for condition, some in by_condition(rows).items():
        taken = interval(some, lambda row: row["accepted"] and row["right"])
        wrong = sum(row["accepted"] and not row["right"] for row in some)
        cells = [condition, len(some), interval(some, lambda row: row["right"]), taken, wrong]
        cells += [sum(row["wrong_pass"] for row in some), f"{pace(some):.3f}"]
        lines.append("| " + " | ".join(map(str, cells)) + " |")
    return "\n".join(lines)


def phrase_misses(rows: list[Row]) -> str:
    """Each phrase that was accepted wrongly; a line that says so where there is none."""
    wrong = [row for row in rows if row["accepted"] and not row["right"]]
    if not wrong:
        return f"None of {len(rows)} was accepted wrongly."
    return "\n".join(
        f'- {row["question"]}, {row["condition"]}: "{row["words"]}" said, "{row["phrase"]}" heard, '
        f"{row['probability']:.2f}{', a wrong pass' if row['wrong_pass'] else ''}"
        for row in wrong
    )


def engine_table(results: dict[str, dict[str, Any]]) -> str:
    """Each engine on each list of phrases, as Markdown: the figures of bench_hearing."""
    names = (
        "right",
        "best guess right",
        "right ones refused",
        "wrong accepted",
        "no accepted as yes",
        "strangers accepted",
        "silence accepted",
        "ms a clip",
        "time / length",
    )
    lines = [
        "| engine | phrases, asked | " + " | ".join(names) + " | peak MB |",
        "|---" * (len(names) + 3) + "|",
    ]
    for engine, result in results.items():
        for name, row in result["lists"].items():
            digits = {"no accepted as yes": 0, "ms a clip": 0, "time / length": 3}
            cells = [
                f"{row[each]:.{digits.get(each, 2)}f}" if each in row else "" for each in names
            ]
            lines.append(
                f"| {engine} | {name}, {row['asked']} | {' | '.join(cells)} |"
                f" {result['peak MB']:.0f} |"
            )
    return "\n".join(lines)


def flip_table(results: dict[str, dict[str, Any]]) -> str:
    """ "No" accepted as "yes" in noise by each engine, as Markdown."""
    conditions = list(next(iter(results.values()))["noise"])
    lines = ["| engine | " + " | ".join(conditions) + " |", "|---" * (len(conditions) + 1) + "|"]
    for engine, result in results.items():
        cells = [
            f"{row['accepted as yes']:.0f} of {row['no']:.0f} [{row['right and accepted']:.0f}]"
            for row in result["noise"].values()
        ]
        lines.append(f"| {engine} | {' | '.join(cells)} |")
    return "\n".join(
        [*lines, "", '"No" accepted as "yes", out of how many [right yes and no accepted, %].']
    )


def all_wrong_passes(rows: list[Row], phrases: list[Row]) -> str:
    """Wrong passes of people and trade phrases together, clean, in pink noise and under other
    voices at 10, 5 and 0 dB, as Markdown. Of people, trials in which no "yes" was said; of phrases
    all.
    """
    lines = [
        "| | trials | could be a wrong pass | wrong passes | % | at most, % |",
        "|---" * 6 + "|",
    ]
    wanted = {
        "clean": ("clean",),
        **{kind: tuple(f"{kind} {each} dB" for each in (10, 5, 0)) for kind in NOISES},
    }
    for kind, conditions in wanted.items():
        some = [row for row in (*rows, *phrases) if row["condition"] in conditions]
        could = [row for row in some if "clip" not in row or row["words"] != "yes"]
        wrong = sum(row["wrong_pass"] for row in could)
        most = f"{100 * at_most(wrong, len(could)):.2f}" if could else ""
        name = kind if kind == "clean" else f"{kind}, 10, 5 and 0 dB"
        lines.append(
            f"| {name} | {len(some)} | {len(could)} | {wrong} | {share(could, _wrong_pass):.2f} |"
            f" {most} |"
        )
    return "\n".join(lines)


def _wrong_pass(row: Row) -> bool:
    return bool(row["wrong_pass"])


def counted(rows: list[Row]) -> str:
    """How many clips of which kind and how many trials, in one sentence."""
    kinds = {STRANGE: "strangers' words", SILENT: "silence"}
    clips = {row["clip"]: kinds.get(row["words"], row["words"]) for row in rows}
    each = ", ".join(f"{many} {kind}" for kind, many in Counter(clips.values()).most_common())
    return f"{len(clips)} clips ({each}), {len(by_condition(rows))} conditions, {len(rows)} trials"


def page(
    template: str,
    rows: list[Row],
    phrases: list[Row],
    said: dict[str, str],
    engines: dict[str, dict[str, Any]] | None = None,
    more: str = "",
) -> str:
    """The page. template: text with {names} to fill in; said: one sentence under each picture, and
    the commit. engines: what bench_hearing measured. more: the part on speech that says more than
    an answer.
    """
    wrong = sum(row["wrong_pass"] for row in rows)
    kept = [row for row in rows if row["words"] != "yes"]
    return template.format(
        counted=counted(rows),
        wrong=wrong,
        trials=len(kept),
        most=f"{100 * at_most(wrong, len(kept)):.2f}",
        table=table(rows),
        wrong_passes=wrong_passes(rows),
        beside=beside(rows),
        each=max(
            Counter((row["question"], row["condition"]) for row in phrases).values(), default=2
        ),
        phrase_table=phrase_table(phrases) if phrases else "Not measured in this run.",
        phrase_misses=phrase_misses(phrases) if phrases else "",
        all_wrong_passes=all_wrong_passes(rows, phrases),
        engine_table=engine_table(engines) if engines else "Not measured in this run.",
        flip_table=flip_table(engines) if engines else "",
        more=more or "Recordings with further speech were not measured in this run.",
        sources="; ".join(sorted({row["source"] for row in rows if row.get("source")}))
        or "not named",
        **said,
    )
