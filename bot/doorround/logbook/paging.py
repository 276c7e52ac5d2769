"""Splits a long message into pages that fit a phone screen: the remainder stays with the message in
the outbox, and a button shows it. Pure.
"""

from __future__ import annotations

from dataclasses import replace

from doorround.logbook.outgoing import Outgoing
from doorround.messages import buttons
from doorround.messages.phrasing import and_more

MAX_LINES = 12
MAX_ROWS = 20
"""Rows per page; a wrapped line counts as several."""
SLACK_LINES = 2
SLACK_ROWS = 4
"""A page may exceed the limit by this much if that saves another page."""
ROW = 40
"""Characters per row on a small phone."""


def first_page(body: Outgoing) -> Outgoing:
    """The part of a message that fits on a screen, with a button for the rest. Messages with a
    question at a door stay whole, since the question stands at the end.
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
    """How many lines fit on a page besides the one announcing the rest; at least one."""
    count = 1
    while count < len(lines) and _fits([*lines[: count + 1], ""]):
        count += 1
    return count


def _rows(line: str) -> int:
    return max(1, -(-len(line) // ROW))
