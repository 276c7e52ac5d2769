"""Draw the pictures of visits for the pages, docs/visit.svg and docs/painted-seals.svg, from
written talks.

Run: python scripts/draw_visit.py
"""

from __future__ import annotations

import io
from pathlib import Path

from rich.console import Console
from rich.text import Text

from doorround.channels.replay.transcript import ScriptLine, read_script

TOP = Path(__file__).resolve().parent.parent
PICTURES = {"visit": ("demo", 0, 34), "painted-seals": ("painted-seals", 16, 30)}
"""Picture → the talk it shows, its first line and the line after its last."""
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


def drawn(line: ScriptLine) -> Text:
    """One line of the talk, as the terminal shows it."""
    if line.who == "bot":
        return Text(
            f"bot: {line.text}", style="bold #ffb454" if "ACT NOW" in line.text else "#c7d0d9"
        )
    how = f" ({line.by})" if line.by != "typing" else ""
    return Text(f"caretaker{how}: {line.text}", style="bold #8fd0a8")


def main() -> None:
    """Draw each picture."""
    for name, (talk, first, last) in PICTURES.items():
        console = Console(record=True, width=WIDTH, file=io.StringIO(), force_terminal=True)
        script = read_script(TOP / "demo_conversations" / f"{talk}.talk")
        for line in script.lines[first:last]:
            console.print(drawn(line))
        picture = console.export_svg(title="", code_format=FORMAT, unique_id=name)
        (TOP / "docs" / f"{name}.svg").write_text(picture, encoding="utf-8")


if __name__ == "__main__":
    main()
