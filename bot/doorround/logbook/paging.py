"""A long message as pages that fit on a telephone's screen: what is not shown yet stays beside the
message in the outbox, and a button brings it. Pure.
"""

from __future__ import annotations

from dataclasses import replace

from doorround.logbook.outgoing import Outgoing
from doorround.messages import buttons
from doorround.messages.phrasing import and_more

MAX_LINES = 12
MAX_ROWS = 20
"""Rows of a page, lines that are broken counted as several."""
SLACK_LINES = 2
SLACK_ROWS = 4
"""A page may be longer by so much where that saves the next one."""
ROW = 40
"""Letters of a row on a small telephone."""


def first_page(body: Outgoing) -> Outgoing:
    """A message as far as it fits on a screen, with a button for the rest. What asks something at a
    door stays whole, since its question stands at the end.
    """
    lines = body.text.split("\n")
    if body.check is not None or body.asks or body.confirms or _is_short(lines):
        return body
    count = _page(lines)
    left = lines[count:]
    if not left:  # one line alone, however long
        return body
    named = sum(bool(line.strip()) for line in left)
    shown = (*lines[:count], and_more(named))
    does = (*body.does, buttons.MORE) if body.does else ()
    taps = (*body.taps, buttons.MORE)
    return replace(body, text="\n".join(shown), rest="\n".join(left), taps=taps, does=does)


def _is_short(lines: list[str]) -> bool:
    rows = sum(map(_rows, lines))
    return len(lines) <= MAX_LINES + SLACK_LINES and rows <= MAX_ROWS + SLACK_ROWS


def _fits(lines: list[str]) -> bool:
    return len(lines) <= MAX_LINES and sum(map(_rows, lines)) <= MAX_ROWS


def _page(lines: list[str]) -> int:
    """How many lines a page takes beside the one that tells of the rest; one at least."""
    count = 1
    while count < len(lines) and _fits([*lines[: count + 1], ""]):
        count += 1
    return count


def _rows(line: str) -> int:
    return max(1, -(-len(line) // ROW))
