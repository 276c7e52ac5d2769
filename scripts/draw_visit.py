"""Draw the picture of a visit for the README: docs/visit.svg, from the demo's written talk.

Run: python scripts/draw_visit.py
"""

from __future__ import annotations

import io
from pathlib import Path

from rich.console import Console
from rich.text import Text

from doorround.channels.replay.transcript import Line, read_script

TOP = Path(__file__).resolve().parent.parent
SCRIPT = TOP / "demo_conversations" / "demo.talk"
PICTURE = TOP / "docs" / "visit.svg"
LINES = 34
WIDTH = 100

# Plain shapes and the reader's own monospace font: nothing is fetched to show it.
FORMAT = """<svg class="rich-terminal" viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px;
    line-height: {line_height}px; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="100%" height="100%" />
</clipPath>
{lines}
</defs>
<rect fill="#10151a" width="100%" height="100%" rx="8"/>
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def drawn(line: Line) -> Text:
    """One line of the talk as the terminal shows it."""
    if line.who == "bot":
        return Text(
            f"bot: {line.text}", style="bold #ffb454" if "ACT NOW" in line.text else "#c7d0d9"
        )
    how = f" ({line.by})" if line.by != "typing" else ""
    return Text(f"caretaker{how}: {line.text}", style="bold #8fd0a8")


def main() -> None:
    """Draw the first lines of the demo."""
    console = Console(record=True, width=WIDTH, file=io.StringIO(), force_terminal=True)
    for line in read_script(SCRIPT).lines[:LINES]:
        console.print(drawn(line))
    PICTURE.parent.mkdir(exist_ok=True)
    PICTURE.write_text(
        console.export_svg(title="", code_format=FORMAT, unique_id="visit"), encoding="utf-8"
    )


if __name__ == "__main__":
    main()
