"""Random chats with the bot as a messenger brings them, against a ledger kept beside: taps on old
keyboards, changed and forwarded messages, replies, photos, recordings that come late or twice, a
yes older than its read-back, other doors, restarts, and a supervisor who names own words.

What holds at a door is in talk_ledger.py; here is what holds of the messages around it.
`python -m tests.benchmarks.many_talks --chats` drives many, the tests a few.
"""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

from doorround.domain.check import Check, Stage
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defects import read_defects
from doorround.logbook.message_effects import MessageEffects
from doorround.logbook.named_defects import in_own_words
from doorround.logbook.open_checks import open_checks
from doorround.messages import buttons
from tests.unit.chat_laws import Stand, Step, laws
from tests.unit.chat_room import DOORS, KIM, Room
from tests.unit.passes import PASSES
from tests.unit.talk_ledger import Broken
from tests.unit.talk_lines import Line, next_line

OWN = ("it has gone all manky", "someone's put their boot through it", "it wants looking at")
MORE = (
    "old tap",
    "tap",
    "twice",
    "held",
    "late",
    "photo",
    "old yes",
    "early yes",
    "early no",
    "early finish",
    "Mona",
    "restart",
    "edit",
    "reply",
    "own words",
    "another door",
    "forward",
)


class Chat:
    """One random chat and its ledger."""

    def __init__(self, home: Path, seed: int) -> None:
        self.room, self.chance = Room(home), random.Random(seed)
        self.steps: list[Step] = []
        self.sent: list[dict[str, Any]] = []
        self.late: list[tuple[dict[str, Any], int]] = []
        self.notes = 0
        self.judged: set[str] = set()

    def run(self, steps: int = 60) -> Chat:
        """The whole chat. Raises Broken."""
        try:
            for _ in range(steps):
                self.step()
            wrong = list(self.room.logbook.verify())
            self._hold("the logbook is whole", wrong)
        finally:
            self.room.close()
        return self

    def step(self) -> None:
        """One thing more; raises Broken where a law does not hold after it."""
        before = self.stand()
        step = self._next(before)
        self.steps.append(step)
        after = self.stand()
        entered = self.room.logbook.entries(after=before.seq)
        for law, wrong in laws(step, before, after, entered):
            self._hold(law, wrong)

    def stand(self) -> Stand:
        logbook = self.room.logbook
        here = logbook.position(KIM)
        mine = {each.check.id: each.check for each in open_checks(logbook, "Kim")}
        found = {each.id: each for each in read_defects(logbook, Plan().defects).open}
        return Stand(here, mine, found, logbook.last_seq(), frozenset(self.judged))

    def _hold(self, law: str, wrong: object) -> None:
        if wrong:
            told = "\n".join(f"  {each.kind}: {each.words!r}" for each in self.steps)
            raise Broken(f"{law}: {wrong}\n{told}")

    # ---- what happens --------------------------------------------------------------------------

    def _next(self, now: Stand) -> Step:
        check = now.here
        if check is None or check.closed:
            return self._elsewhere(now)
        if self.chance.random() < 0.35:
            kind = self.chance.choice(MORE)
            return getattr(self, f"_{kind.replace(' ', '_')}")(check, now) or self._line(check)
        return self._line(check)

    def _elsewhere(self, now: Stand) -> Step:
        """Between two checks."""
        if now.defects and self.chance.random() < 0.4:
            return self._Mona(None, now)
        door = self.chance.choice(DOORS).number
        self._write(text=door)
        return Step("door", door)

    def _write(self, **raw: Any) -> dict[str, Any]:
        self.sent.append(self.room.send("kim", **raw))
        return self.sent[-1]

    def _voice(self, words: str) -> str:
        self.notes += 1
        return f"{self.notes} {words}"

    def _line(self, check: Check) -> Step:
        line = next_line(check, None, self.chance)
        if line.kind in ("edit", "window", "forward", "silence", "early") or line.words in (
            "n/a",
            "next",
        ):
            line = Line(PASSES.get(check.open or "", "finish check"), "pass")
        if line.doubted:
            line = replace(line, words=f"maybe {line.words}")
        if self.chance.random() < 0.4:
            self._write(voice=self._voice(line.words))
            return Step("voice", line.words, line)
        self._write(text=line.words)
        return Step("typed", line.words, line)

    def _taps(self, old: bool) -> tuple[str, str] | None:
        """Some button under an old message, or under the last: what it carries, and its words."""
        shown = [each for each in self.room.shown() if each.body.taps]
        some = shown[:-1] if old else shown[-1:]
        if not some:
            return None
        message = self.chance.choice(some)
        place = self.chance.randrange(len(message.body.taps))
        return self.room.press_of(message, place), message.body.taps[place]

    def _tap(self, check: Check, now: Stand) -> Step | None:
        if (found := self._taps(old=False)) is None:
            return None
        self._write(press=found[0])
        return Step("tap", found[1])

    def _old_tap(self, check: Check, now: Stand) -> Step | None:
        found = self._taps(old=True)
        # that a danger is gone may be tapped as long as it stands, and "show more" any time
        if found is None or found[1].startswith("no, "):
            return None
        turn = self.room.turn()
        self._write(press=found[0])
        stale = self.room.is_stale(found[0], turn)
        return Step("old tap" if stale else "tap", found[1])

    def _twice(self, check: Check, now: Stand) -> Step | None:
        if not self.sent:
            return None
        raw = self.chance.choice(self.sent)
        if raw["id"] in self.room.wire.held or any(raw is each for each, _ in self.late):
            return None
        self.room.take(raw)
        return Step("twice", str(raw.get("text", raw.get("voice", ""))))

    def _held(self, check: Check, now: Stand) -> Step:
        """A recording that the messenger does not give out yet."""
        voice = self._voice(self.chance.choice((PASSES.get(check.open or "", "yes"), "yes")))
        self.room.wire.held.add(voice)
        turn = self.room.turn()
        self.late.append((self._write(voice=voice), turn))
        return Step("held", voice)

    def _late(self, check: Check, now: Stand) -> Step | None:
        """It gives it out at last, when the talk has moved on."""
        if not self.late or self.late[0][1] == self.room.turn():
            return None
        raw, _turn = self.late.pop(0)
        self.room.wire.held.discard(raw["voice"])
        self.room.deal()
        return Step("late", raw["voice"])

    def _photo(self, check: Check, now: Stand) -> Step | None:
        if self.chance.random() < 0.7:  # each is cleaned in a process of its own
            return None
        self._write(photo=True)
        return Step("photo")

    def _old_yes(self, check: Check, now: Stand) -> Step | None:
        """A yes as a reply to what was read back earlier."""
        turn = self.room.turn()
        old = [each for each in self.room.shown() if each.body.confirms and each.turn < turn]
        if not old:
            return None
        self._write(text="yes", reply_to=self.chance.choice(old).message_id)
        return Step("old yes", "yes")

    def _early_yes(self, check: Check, now: Stand) -> Step | None:
        """A yes that was sent before what is read back now."""
        shown = [each for each in self.room.shown() if each.body.confirms]
        if check.stage is not Stage.CONFIRMING or check.pending is None or not shown:
            return None
        number = str(int(shown[-1].message_id or 1) - 1)
        spoken = {"voice": self._voice("yes")} if self.chance.random() < 0.5 else {"text": "yes"}
        self._write(message=number, **spoken)
        return Step("early yes", "yes")

    def _early_no(self, check: Check, now: Stand) -> Step | None:
        """Another fault behind a "no", sent before what is read back now."""
        shown = [each for each in self.room.shown() if each.body.confirms]
        if check.stage is not Stage.CONFIRMING or check.pending is None or not shown:
            return None
        words = self.chance.choice(("no, it's split", "no, loose", "no, undamaged", "no, 3 mm"))
        self._write(message=str(int(shown[-1].message_id or 1) - 1), text=words)
        return Step("early no", words)

    def _early_finish(self, check: Check, now: Stand) -> Step | None:
        """A signature that was sent before the summary."""
        turn = self.room.turn()
        shown = [each for each in self.room.shown() if buttons.FINISH in each.body.taps]
        if check.stage is not Stage.SUMMARY or not shown or shown[-1].turn != turn:
            return None
        number = str(int(shown[-1].message_id or 1) - 1)
        words = self.chance.choice(("finish check", "finish"))
        spoken = {"voice": self._voice(words)} if self.chance.random() < 0.5 else {"text": words}
        self._write(message=number, **spoken)
        return Step("early finish", words)

    def _Mona(self, check: Check | None, now: Stand) -> Step:  # noqa: N802
        own = [each.id for each in now.defects.values() if in_own_words(each)]
        words = self.chance.choice(("what is wrong", "who is late"))
        if own:
            id = self.chance.choice(own)
            words = self.chance.choice(
                (f"name defect {id}", f"defect {id} is split, soon", f"defect {id} is no fault: ok")
            )
            self.judged.add(now.defects[id].finding.rule)
        self.room.send("mona", text=words)
        return Step("Mona", words)

    def _restart(self, check: Check, now: Stand) -> Step:
        self.room.restart()
        return Step("restart")

    def _edit(self, check: Check, now: Stand) -> Step | None:
        typed = [each for each in self.sent if "text" in each]
        if not typed:
            return None
        raw = self.chance.choice(typed)
        words = self.chance.choice(
            ("split", "undamaged and firm", "lunch", "yes", "finish check", "3 mm")
        )
        effect = MessageEffects(self.room.logbook).of(KIM, raw["message"])
        keys = set(effect.questions) if effect else set()
        if effect and effect.waits and check.pending:
            keys |= {each.question or "" for each in check.pending.said}
        self.room.send("kim", text=words, message=raw["message"], edited=True)
        return Step("edit", words, keys=frozenset(keys))

    def _reply(self, check: Check, now: Stand) -> Step | None:
        asked = [each for each in self.room.shown() if each.body.asks]
        if not asked:
            return None
        message = self.chance.choice(asked)
        key = message.body.asks or ""
        words = self.chance.choice((PASSES[key], "split", "yes"))
        self._write(text=words, reply_to=message.message_id)
        return Step("reply", words, keys=frozenset({key, check.open or ""}))

    def _own_words(self, check: Check, now: Stand) -> Step | None:
        if check.stage is not Stage.ASKING or check.asked is None:
            return None
        words = f"a fault, in my words: {self.chance.choice(OWN)}"
        self._write(text=words)
        return Step("own words", words, keys=frozenset())

    def _another_door(self, check: Check, now: Stand) -> Step:
        self._write(text="another door")
        return Step("another door", "another door")

    def _forward(self, check: Check, now: Stand) -> Step:
        words = self.chance.choice((PASSES.get(check.open or "", "yes"), "yes", "finish check"))
        self._write(text=words, forwarded=True)
        return Step("forward", words, Line(words, "forward"))
