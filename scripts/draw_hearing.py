"""Draw the charts and the page of docs/hearing from the results of three benchmarks.

Run: python -m scripts.draw_hearing --work bench-noise.jsonl [--phrases bench-questions.jsonl]
[--engines bench-hearing.json] [--commit HEAD]
"""

from __future__ import annotations

import argparse
import json
import subprocess
from pathlib import Path

import matplotlib

matplotlib.use("Agg")


from tests.benchmarks.hearing_page import Row, page
from tests.benchmarks.hearing_pictures import draw_noise, draw_reliability, draw_roc
from tests.benchmarks.more_said_page import BEGIN, END, section

TOP = Path(__file__).resolve().parent.parent
TEMPLATE = TOP / "scripts" / "hearing_page.md"
HAND_BEGIN = "<!-- written by hand: begin -->"
HAND_END = "<!-- written by hand: end -->"


def read(path: Path | None) -> list[Row]:
    """The trials in a work file; none without a file."""
    return (
        [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()] if path else []
    )


def draw_all(
    work: Path,
    phrases: Path | None,
    folder: Path,
    commit: str,
    engines: Path | None = None,
    more: Path | None = None,
) -> None:
    """Write every chart and the page into the folder."""
    rows = read(work)
    folder.mkdir(parents=True, exist_ok=True)
    said = {
        "commit": commit,
        "by_hand": written_by_hand(folder / "README.md"),
        "noise": draw_noise(rows, folder / "noise.png"),
        "roc": draw_roc(rows, folder / "roc.png"),
        "reliability": draw_reliability(rows, folder / "reliability.png"),
    }
    measured = json.loads(engines.read_text(encoding="utf-8")) if engines else None
    first = section(read(more), commit) if more else ""
    text = page(TEMPLATE.read_text(encoding="utf-8"), rows, read(phrases), said, measured, first)
    (folder / "README.md").write_text(text, encoding="utf-8")


def written_by_hand(page: Path) -> str:
    """The part of the existing page between the marks, with them; "" without one."""
    if not page.is_file():
        return ""
    _, begin, rest = page.read_text(encoding="utf-8").partition(HAND_BEGIN)
    inside, end, _ = rest.partition(HAND_END)
    return f"{begin}{inside}{end}\n\n" if begin and end else ""


def draw_more(more: Path, folder: Path, commit: str) -> None:
    """Replace only the first part of the page.

    Raises ValueError if the page has no such part.
    """
    path = folder / "README.md"
    before, begin, rest = path.read_text(encoding="utf-8").partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(
            f"{path} has no part between {BEGIN} and {END}. Draw the whole page: give --work."
        )
    path.write_text(before + section(read(more), commit) + after, encoding="utf-8")


def short(commit: str) -> str:
    """The short hash of a commit. Raises CalledProcessError if there is no such commit."""
    asked = ["git", "rev-parse", "--short", commit]
    return subprocess.run(asked, cwd=TOP, check=True, capture_output=True, text=True).stdout.strip()


def main() -> None:
    """Draw the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--work", type=Path)
    parser.add_argument(
        "--more",
        type=Path,
        help="Output of bench_more_was_said; given alone, only that part is drawn.",
    )
    parser.add_argument("--phrases", type=Path)
    parser.add_argument("--engines", type=Path)
    parser.add_argument("--commit", default="HEAD", help="The commit that was measured.")
    parser.add_argument("--to", type=Path, default=TOP / "docs" / "hearing")
    options = parser.parse_args()
    commit = short(options.commit)
    if options.work:
        draw_all(options.work, options.phrases, options.to, commit, options.engines, options.more)
    elif options.more:
        draw_more(options.more, options.to, commit)
    else:
        parser.error("give --work, or --more, or both")


if __name__ == "__main__":
    main()
