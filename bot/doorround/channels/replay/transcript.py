"""Scripted visits: transcripts that anyone can read, and that are replayed against the real parts.

    # A title
    door: number=12; building=Mill House; floor=first floor; place=by the lift; rating=FD30S; …
    person: Robin
    at: 2026-03-02 09:00
    begins: which door                       if the caretaker names the door; otherwise at the
                                             first one

    bot: Door 12: …
    bot (plays 0:09 to 0:13): At 0:09 …      with a clip of the recording
    caretaker: all clear                     typed
    caretaker (tap): yes                     a button
    caretaker (voice): two screws missing    the recording voice/two-screws-missing.ogg beside
                                             the script
    caretaker (voice): [lorry passing]       a recording without words
    [restart]                                the program ends and starts again
    [20 minutes later]                       time passes

The bot's lines must match exactly; lines beginning with # are comments.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Literal

from doorround.domain.door import Door

# A whole door in one voice note would not fit into a file name.
MAX_NAME = 80


class ScriptError(ValueError):
    """A script cannot be parsed. Gives the line and what to write."""


@dataclass(frozen=True)
class ScriptLine:
    """One line. who: "bot", "caretaker" or "stage". by: the caretaker's input method. plays: "0:09
    to 0:13", the audio clip that the bot plays.
    """

    number: int
    who: Literal["bot", "caretaker", "stage"]
    text: str
    by: Literal["typing", "tap", "voice"] = "typing"
    plays: str = ""


@dataclass(frozen=True)
class Script:
    """One or more visits. doors: in the order visited; a line "[door 12]" starts the next visit.
    asks_door: the doors are the register, and the bot asks which.
    """

    title: str
    path: Path
    doors: tuple[Door, ...]
    person: str
    at: datetime
    lines: tuple[ScriptLine, ...] = field(repr=False)
    asks_door: bool = False

    def recording(self, words: str) -> Path:
        """The voice file for some words: voice/two-screws-missing.ogg beside the script."""
        name = slug(words)
        if len(name) > MAX_NAME:
            name = f"{name[:MAX_NAME]}-{hashlib.sha256(words.encode()).hexdigest()[:8]}"
        return self.path.parent / "voice" / f"{name}.ogg"

    @property
    def spoken(self) -> tuple[str, ...]:
        """Everything said by voice."""
        return tuple(dict.fromkeys(line.text for line in self.lines if line.by == "voice"))


def slug(words: str) -> str:
    """A file name for some words: lower case, with everything but letters and digits replaced by
    hyphens.
    """
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")


_SPOKEN = re.compile(r"caretaker(?: \((voice|tap)\))?:\s*(.*)")
_BOT = re.compile(r"bot(?: \(plays (\d+:\d\d to (?:\d+:\d\d|the end))\))?:\s*(.*)")
_LATER = re.compile(r"(\d+) (minute|hour|day)s? later")


def read_script(path: Path) -> Script:
    """Parse a script file. Raises ScriptError with the line."""
    title = path.stem
    person = ""
    at = datetime(2026, 3, 2, 9, tzinfo=UTC)
    doors: list[Door] = []
    lines: list[ScriptLine] = []
    asks_door = False
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        text = raw.strip()
        if text.startswith("# ") and not lines and title == path.stem:
            title = text[2:]
        if not text or text.startswith("#"):
            continue
        if text.startswith("door:"):
            doors.append(_door(text[5:], path, number))
        elif text.startswith("person:"):
            person = text[7:].strip()
        elif text == "begins: which door":
            asks_door = True
        elif text.startswith("at:"):
            at = _time(text[3:].strip(), path, number)
        else:
            lines.append(_line(text, path, number))
    if not doors or not person or not lines:
        raise ScriptError(f"{path.name}: a script needs a line door:, a line person: and a talk.")
    return Script(title, path, tuple(doors), person, at, tuple(lines), asks_door)


def _line(text: str, path: Path, number: int) -> ScriptLine:
    if said := _BOT.fullmatch(text):
        return ScriptLine(number, "bot", said[2], plays=said[1] or "")
    if text.startswith("[") and text.endswith("]"):
        return ScriptLine(number, "stage", text[1:-1])
    spoken = _SPOKEN.fullmatch(text)
    if spoken:
        by: Literal["typing", "tap", "voice"] = {"voice": "voice", "tap": "tap"}.get(
            spoken[1] or "", "typing"
        )  # type: ignore[assignment]
        return ScriptLine(number, "caretaker", spoken[2], by)
    raise ScriptError(
        f'{path.name}, line {number}: begin with "bot:", "caretaker:", "caretaker (voice):" or "[".'
    )


def _door(text: str, path: Path, number: int) -> Door:
    try:
        fields = dict(part.strip().split("=", 1) for part in text.split(";") if part.strip())
        return Door.model_validate(fields)
    except ValueError as error:
        raise ScriptError(
            f"{path.name}, line {number}: no door can be read from it: {error}"
        ) from error


def _time(text: str, path: Path, number: int) -> datetime:
    try:
        return datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC)
    except ValueError as error:
        raise ScriptError(
            f'{path.name}, line {number}: write the time as "2026-03-02 09:00".'
        ) from error


def later(stage: str) -> timedelta | None:
    """How much time a stage line skips; None for other kinds of line."""
    match = _LATER.fullmatch(stage)
    if not match:
        return None
    return timedelta(**{f"{match[2]}s": int(match[1])})
