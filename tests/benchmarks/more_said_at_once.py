"""What becomes of answers alone in bench_more_was_said, as Markdown: entered, read back because of
doubt, or read back because the grammar says so. Pure.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import Any

from doorround.hearing.decision.accept_gate import NOISY
from tests.benchmarks.figures import wilson

Row = dict[str, Any]
"""One trial: a line of the work file of bench_more_was_said."""


class Fate(StrEnum):
    """What becomes of an answer. The first two are understood; a misheard one is entered or read
    back as something else.
    """

    AT_ONCE = "entered at once"
    READ_BACK = "read back"
    ASKED_AGAIN = "asked again"
    MISHEARD = "misheard"


def fate_of(row: Row) -> Fate:
    """What becomes of one answer. A phrase that says less than was asked, or is hedged, is read
    back however surely it is heard.
    """
    if row["phrase"] is None:
        return Fate.ASKED_AGAIN
    if not row["right"]:
        return Fate.MISHEARD
    return Fate.AT_ONCE if row["entered"] and row["says all"] else Fate.READ_BACK


def _is_phrase(row: Row) -> bool:
    return bool(row["kind"] == "right" and row["voice"] != "person")


def _is_person(row: Row) -> bool:
    return bool(row["kind"] == "right" and row["voice"] == "person")


GROUPS: dict[str, Callable[[Row], bool]] = {
    "phrases that pass and say all that was asked": lambda row: _is_phrase(row) and row["says all"],
    "phrases that pass but say less, or are hedged": lambda row: (
        _is_phrase(row) and not row["says all"]
    ),
    "people's yes and no": _is_person,
    f"of these, {NOISY:.0f} dB and more above their background": lambda row: (
        _is_person(row) and row["evidence"].get("depth", 0.0) >= NOISY
    ),
    "faults with a tail": lambda row: row["kind"] == "fault",
}
"""Answers whose read-backs have different causes. People recorded their words at home, some of them
in noise.
"""


def at_once_table(rows: Sequence[Row]) -> str:
    """What becomes of each group in quiet, as Markdown; the groups that were not spoken are left
    out. The interval is Wilson's, 95 %.
    """
    lines = [
        (
            "| in quiet | trials | understood | entered at once | read back | asked again"
            " | misheard | at once, % of those understood | entered at once without the check |"
        ),
        "|---" * 9 + "|",
    ]
    for name, belongs in GROUPS.items():
        some = [row for row in rows if row["condition"] == "quiet" and belongs(row)]
        if some:
            lines.append(_line(name, some))
    return "\n".join(lines)


def _line(name: str, rows: Sequence[Row]) -> str:
    fates = Counter(map(fate_of, rows))
    understood = fates[Fate.AT_ONCE] + fates[Fate.READ_BACK]
    without = sum(row["right"] and row["entered without"] and row["says all"] for row in rows)
    cells = [
        name,
        len(rows),
        understood,
        fates[Fate.AT_ONCE],
        fates[Fate.READ_BACK],
        fates[Fate.ASKED_AGAIN],
        fates[Fate.MISHEARD],
        _share(fates[Fate.AT_ONCE], understood),
        f"{without} of {len(rows)}",
    ]
    return "| " + " | ".join(map(str, cells)) + " |"


def _share(hits: int, trials: int) -> str:
    if not trials:
        return ""
    low, high = wilson(hits, trials)
    return f"{100 * hits / trials:.1f} ({100 * low:.0f} to {100 * high:.0f})"


def not_at_once(rows: Sequence[Row]) -> str:
    """Each answer alone that says all that was asked and was not entered at once; a line that says
    so where there is none.
    """
    lines = [
        f'- {_told(row)}, {row["voice"]}, {row["question"]}: "{row["words"]}" as'
        f" {_quoted(row['phrase'])}, {row['why'] or 'not sure enough'};"
        f' transcript: "{row["transcript"]}"'
        for row in rows
        if row["kind"] == "right" and row["says all"] and fate_of(row) is not Fate.AT_ONCE
    ]
    return "\n".join(sorted(lines)) or "All that say all were entered at once."


def _told(row: Row) -> str:
    """Its fate; of one that was misheard, whether it was entered so."""
    fate = fate_of(row)
    if fate is not Fate.MISHEARD:
        return str(fate)
    return f"{fate} and {'entered' if row['entered'] and row['says all'] else 'read back'}"


def _quoted(phrase: str | None) -> str:
    return f'"{phrase}"' if phrase else "nothing"
