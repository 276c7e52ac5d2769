"""What the bot says as Telegram's messages: few of them, short enough, each button with words of
its own. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from doorround.domain.check import Prompt, PromptKind

MAX_TEXT = 4096
MAX_DATA = 64
MAX_LABEL = 60
ROW_WIDTH = 30
"""Letters of the buttons that fit beside each other on a small telephone."""
MAX_IN_ROW = 3


@dataclass(frozen=True)
class Outgoing:
    """One message. taps: phrases of its buttons. does: what they order, as of Prompt. reply_to: id
    of the caretaker's message that it answers.

    question: it asks something; once the talk has moved on, it need not be sent a second time.
    edits: number in the outbox of the message that it takes the place of. check: id of the check it
    belongs to. asks, tells: keys of the question that it asks and of those whose answers it tells,
    for who replies to it. album: whose photos it tells of.
    data_of: name of the person whose own data is the file that goes with the text. menu: no message
    at all, but the command menu of that role, or NO_MENU. confirms: it waits for a yes. picture:
    figures that are drawn and go above the text. clip: hash, start and end of what is played with
    the text. aloud: name of the voice note that reads the question before it. calm: what kind of
    reminder it is; such a one is not sent in quiet hours. forget: it is not kept once it is sent.
    """

    text: str
    taps: tuple[str, ...] = ()
    reply_to: int | None = None
    question: bool = False
    edits: int | None = None
    check: str | None = None
    asks: str | None = None
    tells: tuple[str, ...] = ()
    album: str | None = None
    data_of: str | None = None
    menu: str | None = None
    confirms: bool = False
    picture: dict[str, Any] | None = None
    clip: tuple[str, float, float | None] | None = None
    aloud: str | None = None
    calm: str | None = None
    does: tuple[str, ...] = ()
    forget: bool = False

    def as_body(self) -> dict[str, Any]:
        """As plain data for the outbox."""
        return {key: value for key, value in vars(self).items() if value not in (None, (), False)}

    @staticmethod
    def from_body(body: dict[str, Any]) -> Outgoing:
        """What as_body() gave, read again from JSON."""
        lists = {
            key: tuple(body[key]) for key in ("taps", "tells", "clip", "does") if body.get(key)
        }
        return Outgoing(**{**body, **lists})


def messages(
    say: Iterable[Prompt],
    reply_to: int | None = None,
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
        if prompt.clip is not None:
            out += [*_cut("\n".join(lines), (), question=False)] if lines else []
            out.append(
                Outgoing(
                    prompt.text, clip=(prompt.clip.audio_sha256, prompt.clip.start, prompt.clip.end)
                )
            )
            lines = []
            continue
        lines.append(("⚠️ " if prompt.kind is PromptKind.CAUTION else "") + prompt.text.strip())
        if prompt.taps or place == len(prompts) - 1:
            asks = bool(prompt.taps) or prompt.kind in (PromptKind.QUESTION, PromptKind.READ_BACK)
            # what else was said with the question must arrive, even where the question itself no
            # longer needs to
            pieces = _cut("\n".join(lines), prompt.taps, question=asks and len(lines) == 1)
            confirms = bool(prompt.taps) and prompt.kind is PromptKind.READ_BACK
            out += [
                *pieces[:-1],
                replace(pieces[-1], asks=prompt.question, confirms=confirms, does=prompt.does),
            ]
            lines = []
    if out and reply_to is not None:
        out[0] = replace(out[0], reply_to=reply_to)
    return tuple(replace(each, check=check, tells=tells) for each in out)


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
    """Length as Telegram counts it: a character outside the basic plane is two."""
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

    letter: int
    turn: int
    place: int

    def data(self) -> str:
        """As at most 64 bytes."""
        return f"t{self.letter}.{self.turn}.{self.place}"


def read_press(data: str) -> Press | None:
    """What a pressed button carries; None where it is none of ours."""
    found = re.fullmatch(r"t(\d{1,18})\.(\d{1,18})\.(\d{1,4})", data, re.ASCII)
    return Press(*map(int, found.groups())) if found else None
