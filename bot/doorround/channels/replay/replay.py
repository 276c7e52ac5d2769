"""Plays a scripted visit against the real recogniser, dialogue and logbook, and reports
differences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from doorround.channels.replay.retake import retaken
from doorround.channels.replay.transcript import Script, ScriptLine, later
from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.talk import Talk
from doorround.dialogue.missed_playback import clock
from doorround.domain.check import Prompt
from doorround.domain.checklist import Checklist
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.session.interpretation import Interpreter
from doorround.logbook.store import Logbook

# Assumed time for one answer; affects only the times in the logbook.
SECONDS_A_TURN = 8


@dataclass(frozen=True)
class Difference:
    """A difference from the script. line: of the script, 0 for its end."""

    line: int
    written: str
    said: str

    def __str__(self) -> str:
        return f"line {self.line}: written “{self.written}”, said “{self.said}”"


def plays(prompt: Prompt) -> str:
    """The audio clip attached to a message, "0:09 to 0:13"; "" if none."""
    if prompt.clip is None:
        return ""
    end = prompt.clip.end
    return f"{clock(prompt.clip.start)} to {'the end' if end is None else clock(end)}"


@dataclass
class Replay:
    """Plays one script. show: called with (who, text) for each line."""

    script: Script
    folder: Path
    interpreter: Interpreter
    pipeline: Callable[[], RecognitionPipeline]
    checklist: Checklist
    show: Callable[[str, str], None] = lambda who, text: None
    differences: list[Difference] = field(default_factory=list)

    def play(self) -> Logbook:
        """Play the whole visit. Returns the logbook, open; differences are in `differences`."""
        self._now = self.script.at
        self._count = 0
        self._played: set[bytes] = set()
        self._logbook, self._talk = self._open()
        for door in self.script.doors:
            self._logbook.add_door(door, self.script.person, self._now)
        self._logbook.add_person(self.script.person, "caretaker", self._now)
        first = self.script.doors[0].number
        asks = self.script.asks_door
        self._waiting = self._said(
            self._talk.ask_door(self._now)
            if asks
            else self._talk.begin(first, self.checklist, self._now)
        )
        for line in self.script.lines:
            self._follow(line)
        self._nothing_more(0)
        return self._logbook

    def _open(self) -> tuple[Logbook, Talk]:
        logbook = Logbook.open(self.folder / "logbook.db")
        recordings = self.folder / "recordings"
        talk = Talk(
            "play",
            self.script.person,
            logbook,
            self.interpreter,
            self.pipeline,
            recordings,
            checklist=self.checklist,
        )
        return logbook, talk

    def _follow(self, line: ScriptLine) -> None:
        if line.who == "bot":
            said = next(self._waiting, None)
            if said is None or said.text != line.text:
                self.differences.append(
                    Difference(line.number, line.text, said.text if said else "nothing")
                )
            elif plays(said) != line.plays:
                self.differences.append(
                    Difference(line.number, line.plays or "no sound", plays(said) or "no sound")
                )
            return
        self._nothing_more(line.number)
        if line.who == "stage":
            self._stage(line)
            return
        self._now += timedelta(seconds=SECONDS_A_TURN)
        self._count += 1
        self.show(f"caretaker ({line.by})" if line.by != "typing" else "caretaker", line.text)
        self._waiting = self._said(self._talk.take(self._incoming(line), self._now))

    def _incoming(self, line: ScriptLine) -> Incoming:
        if line.by == "voice":
            recording = self.script.recording(line.text).read_bytes()
            again = recording in self._played
            self._played.add(recording)
            return Incoming(
                str(self._count), recording=retaken(recording, self._count) if again else recording
            )
        return Incoming(str(self._count), text=line.text, tapped=line.by == "tap")

    def _stage(self, line: ScriptLine) -> None:
        self.show("", line.text)
        passed = later(line.text)
        if passed:
            self._now += passed
        elif line.text == "restart":
            self._logbook.close()
            self._logbook, self._talk = self._open()
        elif line.text.startswith("door "):
            self._now += timedelta(seconds=SECONDS_A_TURN)
            self._waiting = self._said(self._talk.begin(line.text[5:], self.checklist, self._now))
        else:
            self.differences.append(Difference(line.number, f"[{line.text}]", "no such stage line"))

    def _said(self, reply: TalkReply) -> Iterator[Prompt]:
        for prompt in reply.say:
            self.show(f"bot (plays {plays(prompt)})" if prompt.clip else "bot", prompt.text)
            if prompt.clip:
                # as a channel does; raises if there is nothing to play
                load_sound(self._talk.clip(prompt.clip))
        return iter(reply.say)

    def _nothing_more(self, line: int) -> None:
        for prompt in self._waiting:
            self.differences.append(Difference(line, "nothing", prompt.text))

    @property
    def now(self) -> datetime:
        return self._now
