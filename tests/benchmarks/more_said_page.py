"""Trials of bench_more_was_said as text: tables, the value of each type of evidence, and every
wrong trial. Pure.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from doorround.hearing.adaptation.probability_fit import (
    MIN_TRIALS,
    Trial,
    enough,
    fit_right,
)
from doorround.hearing.decision.calibration import limited
from tests.benchmarks.figures import at_most
from tests.benchmarks.hearing_page import by_condition
from tests.benchmarks.more_said_at_once import Fate, at_once_table, fate_of, not_at_once

Row = dict[str, Any]
"""One trial: a line of the work file of bench_more_was_said."""

KINDS = {
    "more": "a pass and a tail",
    "own": "own words that are not a pass",
    "person": "a person's yes or no followed by another word",
    "half": "the first half of a person's other word",
}

FIRST_END = "the first listener would have ended there"
SECOND_END = "the second listener would have ended there"
FREE = "what the second listener writes"

WAYS: dict[str, tuple[str, ...]] = {
    "none": (),
    FIRST_END: ("end", "ended"),
    SECOND_END: ("second_end",),
    "both of these": ("end", "ended", "second_end"),
    "duration beyond that of the phrase": ("overtime",),
    FREE: ("extra", "apart", "rather"),
    "the first listener's end, duration, and free transcript": (
        "end",
        "ended",
        "overtime",
        "extra",
        "apart",
    ),
    "syllables beyond those of the phrase": ("nuclei",),
    "all evidence": (
        "end",
        "ended",
        "second_end",
        "overtime",
        "extra",
        "apart",
        "nuclei",
        "rather",
    ),
}
"""Ways to tell whether a phrase is all that was said, and the evidence that each weighs."""

MAY_BE_LOST = 0.02
"""Share of the right passes that a way may cost in the comparison."""


def passed(row: Row) -> bool:
    """Whether what is heard is a pass, or a bare yes or no."""
    return bool(row["passes"]) and not row["in grammar"]


def entered(row: Row) -> bool:
    """Whether a pass was entered at once."""
    return passed(row) and bool(row["entered"])


def read_back(row: Row) -> bool:
    """Whether a pass was read back."""
    return passed(row) and row["outcome"] == "unsure"


def more_table(rows: Sequence[Row]) -> str:
    """What became of speech that says more, as Markdown: one row a kind and condition."""
    lines = [
        (
            "| more was said | | trials | entered as a pass | at most, % | read back as a pass | % "
            "| asked again, or a fault |"
        ),
        "|---" * 8 + "|",
    ]
    for kind, name in KINDS.items():
        some = [row for row in rows if row["kind"] == kind and not row["in grammar"]]
        for condition, each in by_condition(some).items():
            wrong = sum(map(entered, each))
            back = sum(map(read_back, each))
            cells = [
                name,
                condition,
                len(each),
                wrong,
                f"{100 * at_most(wrong, len(each)):.2f}",
                back,
            ]
            cells += [f"{100 * back / len(each):.1f}", len(each) - wrong - back]
            lines.append("| " + " | ".join(map(str, cells)) + " |")
    return "\n".join(lines)


def ways_table(rows: Sequence[Row]) -> str:
    """What each way of telling would let through of what would else be entered, where it may cost
    MAY_BE_LOST of the right passes, as Markdown. Each is fitted on these same trials, in two
    halves, each judged by the other. A line that says so where there are too few to fit on.
    """
    some = [
        row
        for row in rows
        if row.get("evidence", {}).get("end") is not None and not row["in grammar"]
    ]
    some = [
        row for row in some if row["kind"] in KINDS or (row["kind"] == "right" and row["right"])
    ]
    if not _can_be_fitted(some):
        return (
            f"Ways to tell not compared: each half of the recordings needs {MIN_TRIALS}, right and"
            f" wrong ones among them; there are {len(some)} in all. Give a larger --count."
        )
    lines = ["| evidence used | entered despite further speech | of | ms |", "|---|---|---|---|"]
    timed = [row["ms"] for row in rows if row.get("ms")]
    for name, evidence in WAYS.items():
        chances = _judged(some, evidence)
        right = sorted(chance for chance, row in zip(chances, some, strict=True) if _good(row))
        wrong = [
            chance
            for chance, row in zip(chances, some, strict=True)
            if row["kind"] in KINDS and _taken(row)
        ]
        least = right[int(MAY_BE_LOST * len(right))] if right else 0.0
        spent = [each[name] for each in timed if name in each]
        took = f"{sum(spent) / len(spent):.0f}" if spent else ""
        lines.append(
            f"| {name} | {sum(chance >= least for chance in wrong)} | {len(wrong)} | {took} |"
        )
    return "\n".join(lines)


def _can_be_fitted(rows: Sequence[Row]) -> bool:
    """Whether either half of the recordings is enough to fit a model on."""
    trials = [_trial(row) for row in rows]
    halves = (trials[0::2], trials[1::2])
    return all(enough(half, [each.right for each in half]) for half in halves)


def _trial(row: Row) -> Trial:
    return Trial(row["evidence"], row["kind"] == "right")


def _good(row: Row) -> bool:
    return row["kind"] == "right" and _taken(row)


def _taken(row: Row) -> bool:
    return bool(row["entered without"]) and bool(row["passes"])


def _judged(rows: Sequence[Row], evidence: tuple[str, ...]) -> list[float]:
    """The probability of each that nothing more was said, by a line fitted on the other half."""
    if not evidence:
        return [1.0] * len(rows)
    trials = [_trial(row) for row in rows]
    names = [
        name
        for name in evidence
        if any(limited(name, each.evidence.get(name, 0.0)) for each in trials)
    ]
    lines = [fit_right(trials[half::2], names) for half in (1, 0)]
    return [lines[place % 2].probability(each.evidence) for place, each in enumerate(trials)]


def times(rows: Sequence[Row]) -> str:
    """How much longer a pass takes to be heard, and a fault."""
    timed = [row for row in rows if "seconds with" in row and row["phrase"]]
    told = []
    for name, some in (
        ("a pass", [r for r in timed if r["passes"]]),
        ("a fault", [r for r in timed if r["kind"] == "fault"]),
    ):
        if some:
            ratio = sum(row["seconds with"] for row in some) / sum(
                row["seconds without"] for row in some
            )
            told.append(f"{name} {ratio:.2f} times ({len(some)} recordings)")
    return (
        "Time with the check, as a multiple of the time without: "
        + "; ".join(told or ["not measured"])
        + "."
    )


def wrong_ones(rows: Sequence[Row]) -> str:
    """Each recording that was entered or read back as a pass though more was said."""
    lines = [
        f"- {'entered' if row['entered'] else 'read back'}, {row['condition']}, {row['voice']},"
        f" {row['question']}: "
        f'"{row["words"]}" as "{row["phrase"]}", {row["probability"]:.2f}; transcript:'
        f' "{row["transcript"]}"'
        for row in rows
        if row["kind"] in KINDS and (entered(row) or read_back(row))
    ]
    return "\n".join(sorted(lines)) or "None."


CHOSEN = (
    "Made with `--start 3300`, as the table before this one, and `--alone 756`. The rule for "
    "asking "
    "again was chosen without these combinations of phrases, tails and words, but with the halves "
    "of words and the answers alone, which are the same in every run; two later rules of the "
    "accept gate, which only read back more, were chosen partly on this run (`STRANGE_IN_QUIET`, "
    "`ANOTHER_WORD`). An answer that says less than was asked, or is hedged, is read back by the "
    "grammar however surely it is heard, and is counted apart. “Without the check” omits only the "
    "fitted model: a free transcript that takes the phrase back, and a bare word that goes on, "
    "were still asked again. “Brush and strip, with a bit missing” was entered whole, with the "
    "missing bit as a fault of the seals: it counts as a pass because it also answers the "
    "question, but hides nothing."
)
PEOPLES = "people's yes and no"
BEGIN = "<!-- more was said: begin -->"
END = "<!-- more was said: end -->"


def section(rows: Sequence[Row], commit: str) -> str:
    """The part of docs/hearing about it, between its marks. commit: the code that was measured."""
    measured = f"Measured with the code of commit `{commit}`. {CHOSEN}"
    return "\n\n".join((BEGIN, verdict(rows), measured, report(rows), END))


def verdict(rows: Sequence[Row]) -> str:
    """What it comes to, in plain words."""
    some = [row for row in rows if row["kind"] in KINDS and not row["in grammar"]]
    quiet = [row for row in some if row["condition"] == "quiet"]
    before, now = (
        sum(passed(row) and row[key] for row in quiet) for key in ("entered without", "entered")
    )
    noisy = [row for row in some if row["condition"] != "quiet"]
    still = "still " if now else ""
    advice = (
        "Say only the answer, and read what the bot says back."
        if now
        else "If it hears more, the bot says so and asks again."
    )
    return (
        f"**Of {len(quiet)} recordings in quiet in which more follows an answer that passes,"
        f" {now} were {still}entered as the pass that they begin with; without the check for"
        f" further speech it would be {before}.** In noise {sum(map(entered, noisy))} of"
        f" {len(noisy)}. {advice} {_at_once(rows)}"
    )


def _at_once(rows: Sequence[Row]) -> str:
    """How many of the answers understood are entered at once, in plain words; "" without any."""
    told = []
    for name, person in (("passing phrases that say all that was asked", False), (PEOPLES, True)):
        fates = [
            fate_of(row)
            for row in rows
            if row["kind"] == "right" and row["says all"] and (row["voice"] == "person") is person
        ]
        understood = sum(fate in (Fate.AT_ONCE, Fate.READ_BACK) for fate in fates)
        if understood:
            told.append(f"{fates.count(Fate.AT_ONCE)} of {understood} {name}")
    return f"Understood and entered at once in quiet: {', and '.join(told)}." if told else ""


def report(rows: Sequence[Row]) -> str:
    """All of it."""
    parts = (
        more_table(rows),
        at_once_table(rows),
        ways_table(rows),
        times(rows),
        "Entered or read back as a pass though more was said:",
        wrong_ones(rows),
        "Answers that say all that was asked, not entered at once:",
        not_at_once(rows),
    )
    return "\n\n".join(parts)
