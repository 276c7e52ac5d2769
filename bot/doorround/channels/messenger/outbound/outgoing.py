"""Converts prompts to a messenger's messages: few, short enough, with distinct button
labels. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from doorround.domain.check import Prompt, PromptKind
from doorround.logbook.outgoing import Outgoing
from doorround.messages.summing_up import ACT_NOW

MAX_TEXT = 4096
"""Maximum UTF-16 code units per message: Telegram's limit. A channel with a lower limit splits
again on delivery. Source: the Bot API, sendMessage, from memory.
"""
MAX_LINE = MAX_TEXT - 96
"""For a line with a page to itself, above the one saying how much is left."""
MAX_LABEL = 60
ROW_WIDTH = 30
"""Characters in the buttons of one row that fit on a small phone."""
MAX_IN_ROW = 3


def messages(
    say: Iterable[Prompt],
    reply_to: str | None = None,
    check: str | None = None,
    tells: tuple[str, ...] = (),
) -> tuple[Outgoing, ...]:
    """One turn's prompts as messages: merged up to the one with buttons, split if too long. What to
    do at once about a danger leads, in the message of the question after it.

    check, tells: the turn's check, and keys of the questions that it answered.
    """
    out: list[Outgoing] = []
    lines: list[str] = []
    prompts = _dangers_first([prompt for prompt in say if prompt.text.strip()])
    for place, prompt in enumerate(prompts):
        if prompt.clip is not None or prompt.photo is not None:
            out += _pieces("\n".join(lines), (), False, check is None) if lines else []
            out.append(_by_itself(prompt))
            lines = []
            continue
        lines.append(("⚠️ " if prompt.kind is PromptKind.CAUTION else "") + prompt.text.strip())
        if prompt.taps or place == len(prompts) - 1:
            asks = bool(prompt.taps) or prompt.kind in (PromptKind.QUESTION, PromptKind.READ_BACK)
            # text sent with the question must arrive, even if the question itself is no longer
            # needed
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


def _dangers_first(prompts: list[Prompt]) -> list[Prompt]:
    """The prompts with those about a danger in front, and their buttons behind those of the next
    question; unchanged if one message cannot hold all of that.
    """
    dangers = [each for each in prompts if each.text.startswith(ACT_NOW)]
    others = [each for each in prompts if each not in dangers]
    asked = others[-1] if others else None
    if not dangers or asked is None or asked.kind is not PromptKind.QUESTION or not asked.taps:
        return prompts
    alone = all(not each.taps for each in others[:-1])
    plain = not any(each.does or each.clip or each.photo for each in prompts)
    if not (alone and plain and sum(_units(each.text) + 3 for each in prompts) <= MAX_TEXT):
        return prompts
    taps = dict.fromkeys((*asked.taps, *(tap for each in dangers for tap in each.taps)))
    leading = [each.model_copy(update={"taps": ()}) for each in dangers]
    return [*leading, *others[:-1], asked.model_copy(update={"taps": tuple(taps)})]


def _by_itself(prompt: Prompt) -> Outgoing:
    """A prompt with audio or a photo."""
    if prompt.clip is None:
        return Outgoing(prompt.text, photo=prompt.photo)
    clip = prompt.clip
    return Outgoing(prompt.text, clip=(clip.audio_sha256, clip.start, clip.end))


def _pieces(text: str, taps: tuple[str, ...], question: bool, paged: bool) -> list[Outgoing]:
    """A text as messages. paged: the outbox pages long ones, so that a list stays whole and is not
    split here, too.
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
    """As much as fits into one message, up to the last complete line or word."""
    head = text[:MAX_TEXT]
    while _units(head) > MAX_TEXT:
        head = head[: len(head) - (_units(head) - MAX_TEXT + 1) // 2]
    ends = [head.rfind(mark) + 1 for mark in ("\n", " ")]
    return head[: next((end for end in ends if end > MAX_TEXT // 2), len(head))]


def _units(text: str) -> int:
    """Length in UTF-16 code units: a character outside the basic plane counts as two."""
    return len(text.encode("utf-16-le")) // 2


def rows(taps: tuple[str, ...]) -> list[list[int]]:
    """Button indices by row, as many side by side as are readable."""
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
    """A button's label."""
    return tap if len(tap) <= MAX_LABEL else f"{tap[: MAX_LABEL - 2].rstrip()} …"


@dataclass(frozen=True)
class Press:
    """A button's payload: outbox number of its message, its turn, its index there."""

    outbound: int
    turn: int
    place: int

    def data(self) -> str:
        """Encoded in at most 64 bytes, Telegram's limit for button data."""
        return f"t{self.outbound}.{self.turn}.{self.place}"


def read_press(data: str) -> Press | None:
    """Decode a pressed button's payload; None if it is not ours."""
    found = re.fullmatch(r"t(\d{1,18})\.(\d{1,18})\.(\d{1,4})", data, re.ASCII)
    return Press(*map(int, found.groups())) if found else None
