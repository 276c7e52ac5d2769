"""The charts of docs/hearing: noise, thresholds, probabilities."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from PIL import Image

from tests.benchmarks.figures import brier, reliability, roc
from tests.benchmarks.hearing_page import Row, by_condition, is_answer, is_right, share

INCHES = 5.0


DOTS = 150


POINTS = 13


COLOURS = 160
"""Width, dots an inch and letters: 750 dots across, letters that are legible on a phone."""


LEVELS = ("clean", "15", "10", "5", "0")


# Colours that the colour-blind tell apart, and a line and a mark that differ without any colour.
STYLES = {
    "clean": ("#000000", "-", "*"),
    "pink": ("#0072B2", "-", "o"),
    "voices": ("#D55E00", "--", "s"),
    "hum": ("#009E73", ":", "^"),
    "impacts": ("#CC79A7", "-.", "D"),
    "radio": ("#8a6d00", (0, (5, 1, 1, 1, 1, 1)), "v"),
}


def kind_of(condition: str) -> str:
    """The kind of noise of a condition: "pink 10 dB" is "pink"."""
    return condition.split()[0]


def level_of(condition: str) -> int:
    """Place of a condition on the axis of noise."""
    return 0 if condition == "clean" else LEVELS.index(condition.split()[1])


def noisy_kinds(rows: list[Row]) -> list[str]:
    """The kinds of noise that were heard."""
    return list(
        dict.fromkeys(kind_of(row["condition"]) for row in rows if row["condition"] != "clean")
    )


def figure(
    height: float, panels: int = 1, heights: tuple[int, ...] | None = None
) -> tuple[Figure, list[Axes]]:
    """An empty picture with panels one below the other."""
    pyplot.rcParams.update(
        {"font.size": POINTS, "axes.grid": True, "grid.color": "#d8d8d8", "lines.linewidth": 2}
    )
    drawn, axes = pyplot.subplots(
        panels,
        1,
        figsize=(INCHES, height),
        squeeze=False,
        layout="constrained",
        height_ratios=heights,
    )
    return drawn, list(axes[:, 0])


def save(drawn: Figure, path: Path) -> None:
    """Write a picture: few colours, so that it is small, and nothing in it that differs from run to
    run.
    """
    full = io.BytesIO()
    drawn.savefig(full, dpi=DOTS, metadata={"Software": None})
    pyplot.close(drawn)
    Image.open(full).convert("RGB").quantize(COLOURS).save(path, optimize=True)


def draw_noise(rows: list[Row], path: Path) -> str:
    """Right, accepted and wrong passes against how loud each noise is."""
    conditions = by_condition(rows)
    drawn, (right, accepted, wrong) = figure(11, 3)
    for kind in noisy_kinds(rows):
        names = sorted((c for c in conditions if kind_of(c) in ("clean", kind)), key=level_of)
        places = [level_of(c) for c in names]
        asked = [[r for r in conditions[c] if is_answer(r)] for c in names]
        colour, line, mark = STYLES[kind]
        for axes, values in (
            (right, [share(some, is_right) for some in asked]),
            (
                accepted,
                [share(some, lambda row: row["accepted"] and is_right(row)) for some in asked],
            ),
            (wrong, [float(sum(row["wrong_pass"] for row in conditions[c])) for c in names]),
        ):
            axes.plot(
                places, values, color=colour, linestyle=line, marker=mark, markersize=8, label=kind
            )
    titles = (
        "yes, no: right at first go, %",
        "yes, no: right and accepted, %",
        "wrong passes, how many",
    )
    for axes, title in zip((right, accepted, wrong), titles, strict=True):
        axes.set_title(title, fontsize=POINTS + 1, loc="left")
        axes.set_xticks(range(len(LEVELS)), LEVELS)
    wrong.set_ylim(-0.3, max(4.0, wrong.get_ylim()[1]))
    wrong.yaxis.set_major_locator(MaxNLocator(integer=True))
    wrong.set_xlabel("how far the noise lies under the words, dB")
    drawn.legend(
        *right.get_legend_handles_labels(), loc="outside upper center", ncols=3, columnspacing=1
    )
    save(drawn, path)
    return _noise_caption(conditions)


def _noise_caption(conditions: dict[str, list[Row]]) -> str:
    many = {c: sum(row["words"] != "yes" for row in some) for c, some in conditions.items()}
    low = min(many.values())
    high = max(many.values())
    each = str(low) if low == high else f"{low} to {high}"
    return (
        f"Each point: the trials in its row of the table; wrong passes are out of {each} trials"
        ' in which nobody said "yes".'
    )


def groups_of(rows: list[Row]) -> dict[str, list[Row]]:
    """The trials by kind of noise, all levels of a kind together, clean first."""
    kinds = ["clean", *noisy_kinds(rows)]
    found = {kind: [row for row in rows if kind_of(row["condition"]) == kind] for kind in kinds}
    return {kind: some for kind, some in found.items() if some}


def draw_roc(rows: list[Row], path: Path) -> str:
    """What a stricter or laxer threshold would accept, and where the gate in use stands."""
    drawn, (axes,) = figure(6.8)
    for kind, some in groups_of(rows).items():
        right = [is_right(row) for row in some]
        points = roc([row["probability"] for row in some], right)
        colour, line, mark = STYLES[kind]
        # the last step takes in everything that was refused outright: no threshold reaches it
        refused = min(row["probability"] for row in some) == 0
        reached = [(100 * x, 100 * y) for x, y in (points[:-1] if refused else points)]
        axes.step(*zip(*reached, strict=True), where="post", color=colour, linestyle=line)
        wrongs = [row for row in some if not is_right(row)]
        rights = [row for row in some if is_right(row)]
        at = share(wrongs, lambda row: row["accepted"]), share(rights, lambda row: row["accepted"])
        style: dict[str, Any] = {
            "color": colour,
            "linestyle": line,
            "marker": mark,
            "markersize": 11,
            "markeredgecolor": "white",
        }
        axes.plot([at[0]], [at[1]], **style, label=kind, clip_on=False, zorder=3)
    axes.set_title("lines: every threshold; marks: the gate", fontsize=POINTS + 1, loc="left")
    axes.set_xscale("symlog", linthresh=1)
    axes.set(xlim=(0, 100), ylim=(0, 102))
    axes.set_xticks((0, 0.5, 1, 10, 100), ("0", "0.5", "1", "10", "100"))
    axes.set_xlabel("of all that must not be taken: accepted, %")
    axes.set_ylabel("of all heard right: accepted, %")
    drawn.legend(
        *axes.get_legend_handles_labels(), loc="outside upper center", ncols=3, columnspacing=1
    )
    save(drawn, path)
    bad = sum(not is_right(row) for row in rows)
    return (
        f"{len(rows)} trials by kind of noise, all levels combined: in {len(rows) - bad} the top"
        f" hypothesis is right, in {bad} it is wrong or there was nothing to accept (including"
        " strangers' words and silence). A line ends where the remaining trials were rejected"
        " outright and have no probability."
    )


def draw_reliability(rows: list[Row], path: Path) -> str:
    """Stated probability against the share that was right, and how many trials each point holds."""
    named = [row for row in rows if row["phrase"] is not None]
    groups = {"clean": [r for r in named if r["condition"] == "clean"]}
    groups |= {"all noises": [r for r in named if r["condition"] != "clean"]}
    drawn, (axes, below) = figure(7.2, 2, (3, 1))
    axes.plot([0, 100], [0, 100], color="#888888", linewidth=1.2, label="as stated")
    styles = zip(groups.items(), ("pink", "voices"), (-1.9, 1.9), strict=True)
    for (name, some), style, offset in styles:
        bins = reliability([row["probability"] for row in some], [is_right(row) for row in some])
        colour, line, mark = STYLES[style]
        score = f"{_brier_of(some):.3f}" if some else "none"
        points = [(100 * stated, 100 * true) for stated, true, _ in bins]
        axes.plot(
            *zip(*points, strict=True),
            color=colour,
            linestyle=line,
            marker=mark,
            markersize=8,
            label=f"{name}, Brier {score}",
        )
        places = [100 * (min(9, int(10 * stated)) + 0.5) / 10 + offset for stated, _, _ in bins]
        below.bar(
            places,
            [many for *_, many in bins],
            width=3.6,
            color=colour,
            hatch="//" if offset > 0 else None,
        )
    title = f"Brier score {_brier_of(named):.3f}, {len(named)} trials"
    axes.set_title(title, fontsize=POINTS + 1, loc="left")
    axes.set_ylabel("of these right, %")
    axes.legend(loc="upper left", framealpha=0.9)
    below.set(yscale="log", xlabel="stated probability, %", ylabel="trials", xlim=axes.get_xlim())
    below.yaxis.set_major_formatter("{x:.0f}")
    save(drawn, path)
    return (
        f"{len(named)} trials for which a phrase and a probability were stated, accepted or not, in"
        " ten bins of probability; below, the number of trials in each bin. A point under the grey"
        " line was right less often than stated."
    )


def _brier_of(rows: list[Row]) -> float:
    return brier([row["probability"] for row in rows], [is_right(row) for row in rows])
