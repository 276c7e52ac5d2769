"""What the bot says as a messenger's messages: few of them, short enough, each button with words
of its own. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from doorround.domain.check import Prompt, PromptKind
from doorround.logbook.outgoing import Outgoing

MAX_TEXT = 4096
"""Units of UTF-16 in one message: what Telegram takes. A channel that takes less cuts again when it
delivers. Source: the Bot API, sendMessage, from memory.
"""
MAX_LINE = MAX_TEXT - 96
"""Of a line that has a page to itself, above the one that tells how much is left."""
MAX_LABEL = 60
ROW_WIDTH = 30
"""Letters of the buttons that fit beside each other on a small telephone."""
MAX_IN_ROW = 3


def messages(
    say: Iterable[Prompt],
    reply_to: str | None = None,
    check: str | None = None,
    tells: tuple[str, ...] = (),
) -> tuple[Outgoing, ...]:
    """One turn's prompts as messages: put together down to the one with buttons, cut where they are
    too long.

    check, tells: the check that the turn belongs to, and keys of the questions that it answered.
    """
    out: list[Outgoing] = []
    lines: list[str] = []
    prompts = [prompt for prompt in say if prompt.text.strip()]
    for place, prompt in enumerate(prompts):
        if prompt.clip is not None or prompt.photo is not None:
            out += _pieces("\n".join(lines), (), False, check is None) if lines else []
            out.append(_by_itself(prompt))
            lines = []
            continue
        lines.append(("⚠️ " if prompt.kind is PromptKind.CAUTION else "") + prompt.text.strip())
        if prompt.taps or place == len(prompts) - 1:
            asks = bool(prompt.taps) or prompt.kind in (PromptKind.QUESTION, PromptKind.READ_BACK)
            # what else was said with the question must arrive, even where the question itself no
            # longer needs to
            confirms = bool(prompt.taps) and prompt.kind is PromptKind.READ_BACK
            paged = check is None and prompt.question is None and not confirms
            pieces = _pieces("\n".join(lines), prompt.taps, asks and len(lines) == 1, paged)
            out += [
                *pieces[:-1],
                replace(pieces[-1], asks=prompt.question, confirms=confirms, does=prompt.does),
            ]
            lines = []
    if out and reply_to is not None:
        out[0] = replace(out[0], reply_to=reply_to)
    return tuple(replace(each, check=check, tells=tells) for each in out)


def _by_itself(prompt: Prompt) -> Outgoing:
    """A prompt with something to hear or to see."""
    if prompt.clip is None:
        return Outgoing(prompt.text, photo=prompt.photo)
    clip = prompt.clip
    return Outgoing(prompt.text, clip=(clip.audio_sha256, clip.start, clip.end))


def _pieces(text: str, taps: tuple[str, ...], question: bool, paged: bool) -> list[Outgoing]:
    """A text as messages. paged: the outbox makes pages of one that is long, so that a list stays
    one list and is not cut here, too.
    """
    if paged and all(_units(line) <= MAX_LINE for line in text.split("\n")):
        return [Outgoing(text, taps, question=question)]
    return _cut(text, taps, question)


def _cut(text: str, taps: tuple[str, ...], question: bool) -> list[Outgoing]:
    pieces = []
    while _units(text) > MAX_TEXT:
        head = _head(text)
        pieces.append(Outgoing(head.rstrip()))
        text = text[len(head) :].lstrip()
    return [*pieces, Outgoing(text, taps, question=question)]


def _head(text: str) -> str:
    """As much as one message holds, up to the last line or word that is whole."""
    head = text[:MAX_TEXT]
    while _units(head) > MAX_TEXT:
        head = head[: len(head) - (_units(head) - MAX_TEXT + 1) // 2]
    ends = [head.rfind(mark) + 1 for mark in ("\n", " ")]
    return head[: next((end for end in ends if end > MAX_TEXT // 2), len(head))]


def _units(text: str) -> int:
    """Length in units of UTF-16: a character outside the basic plane is two."""
    return len(text.encode("utf-16-le")) // 2


def rows(taps: tuple[str, ...]) -> list[list[int]]:
    """Places of the buttons, row by row, as many beside each other as can be read."""
    laid: list[list[int]] = []
    for place, tap in enumerate(taps):
        row = laid[-1] if laid else None
        if (
            row is None
            or len(row) == MAX_IN_ROW
            or sum(len(taps[at]) for at in row) + len(tap) > ROW_WIDTH
        ):
            laid.append([place])
        else:
            row.append(place)
    return laid


def label(tap: str) -> str:
    """What a button shows."""
    return tap if len(tap) <= MAX_LABEL else f"{tap[: MAX_LABEL - 2].rstrip()} …"


@dataclass(frozen=True)
class Press:
    """What a button carries: number of its message in the outbox, the turn it belongs to, its place
    there.
    """

    outbound: int
    turn: int
    place: int

    def data(self) -> str:
        """As at most 64 bytes, which is what Telegram lets a button carry."""
        return f"t{self.outbound}.{self.turn}.{self.place}"


def read_press(data: str) -> Press | None:
    """What a pressed button carries; None where it is none of ours."""
    found = re.fullmatch(r"t(\d{1,18})\.(\d{1,18})\.(\d{1,4})", data, re.ASCII)
    return Press(*map(int, found.groups())) if found else None
