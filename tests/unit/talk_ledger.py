"""Random talks against a ledger kept beside: what was told, in words whose meaning is known here
and not taken from the grammar, and what must hold whatever is said.

`python -m tests.benchmarks.many_talks` drives 10,000 of them; the tests fewer.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from doorround.dialogue.amending import amend, expected_in_change
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.forwarded import as_forwarded
from doorround.dialogue.invitation import invited
from doorround.dialogue.turn import start_check
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.windows import goes_on_here
from doorround.domain.check import FREE, Check, Stage
from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said, Silence, Unsure
from doorround.domain.judging.judge import verdict
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key
from doorround.domain.unnamed_faults import is_own
from doorround.domain.values import Command, Condition, Count, Measure, Value
from doorround.hearing.session.interpretation import typed
from tests.unit.visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    HELD_OPEN,
    NOON,
    PAIR,
    PASSES,
    UNDERSTANDING,
    UNKNOWN,
    Visit,
)

DOORS = (CORRIDOR, HELD_OPEN, CUPBOARD, PAIR, UNKNOWN)

# part → words of a fault there, as somebody at the door says them, and its name
FAULTS = {
    "clear": (
        ("wedged open", "wedged"),
        ("propped open", "propped"),
        ("boxes in the way", "stored"),
    ),
    "sign": (("no sign", "missing"), ("unreadable", "unreadable")),
    "frame": (("split", "split"), ("loose", "loose"), ("damaged", "damaged")),
    "leaf": (("split", "split"), ("a hole in it", "hole"), ("warped", "warped")),
    "glass": (("cracked", "cracked"), ("broken", "broken")),
    "seals": (("painted over", "painted"), ("missing", "missing")),
    "hinges": (("two screws missing", "screw_missing"),),
    "closer": (("slams", "slamming"), ("does not latch", "not_latching")),
}
NAMES = {"clear": "doorway", "hinges": "hinges"}
DENIALS = {
    "clear": (("no wedge", "wedged"), ("not propped", "propped")),
    "frame": (("not split", "split"), ("no damage", "damaged")),
    "leaf": (("not warped", "warped"), ("no holes", "hole")),
    "glass": (("not cracked", "cracked"),),
    "seals": (("not painted", "painted"),),
    "closer": (("doesn't slam", "slamming"),),
}
NUMBERS = ("three", "two", "3 mm", "5", "nine", "3.5")
UNREAD = ("someone's put their boot through it", "gone all manky", "lunch", "dunno mate")
COMMANDS = (
    *("skip", "go back", "undo", "yes", "no", "yes", "no", "repeat", "help", "what can I say"),
    *("pause", "carry on", "carry on", "finish check", "finish check", "note smells of gas"),
    *("change frame", "change leaf", "change seals", "change hinges", "everything is fine"),
    *("a fault, in my words", "none of them", "first one", "cancel", "no", "cannot check"),
    *("not now, another door", "what is left", "n/a", "done", "next", "stop"),
)
NAMES_LEAF = ("second leaf", "first leaf", "leaves")
# the same words at the face that one stands before, and at the one behind it
FACES = ("frame fine", "leaf fine", "glass fine", "leaf split", "frame damaged", "glass cracked")


@dataclass(frozen=True)
class Line:
    """One thing said. kind: "pass", "fault", "denial", "number", "words", "command", "silence",
    "edit", "face" (of a named face), "forward" (said before and forwarded) or "window" (the check
    goes on in another one). part: the component it names, "" where it names none; about: the one
    it is true of.
    fault: the name of the fault told or denied. doubted: heard, and not sure of.
    """

    words: str
    kind: str
    part: str = ""
    about: str = ""
    fault: str = ""
    doubted: bool = False
    corrects: bool = False


BATCHES = (
    Line("frame and leaf fine", "batch", about="frame leaf"),
    Line("frame fine, leaf fine, glass fine", "batch", about="frame leaf glass"),
    Line("seals fine, three hinges all tight", "batch", about="seals hinges"),
    Line("fine both sides", "batch"),
    Line("closer fine", "batch", about="closer"),
    Line("leaf fine", "batch", about="leaf"),
    Line("second leaf fine", "batch", about="leaf"),
    Line("all sound", "batch"),
)


def next_line(check: Check, before: Line | None, chance: random.Random) -> Line:
    """What is said next, drawn by what somebody at that point may well say."""
    draw = chance.random()
    if before is not None and draw < 0.06:
        return before
    if check.stage in (Stage.CONFIRMING, Stage.CANCELLING) and draw < 0.5:
        return Line(chance.choice(("yes", "no")), "command")
    return chance.choice(BATCHES) if draw < 0.1 else _answer(check, chance)


def _answer(check: Check, chance: random.Random) -> Line:
    question = check.asked
    part = question.component if question else ""
    doubted = chance.random() < 0.15
    draw = chance.random()
    if draw < 0.5 and question is not None:
        return Line(PASSES[question.key], "pass", about=part, doubted=doubted)
    if draw < 0.63:
        return _fault(part, chance, doubted)
    if draw < 0.68 and part in DENIALS:
        words, fault = chance.choice(DENIALS[part])
        return Line(words, "denial", about=part, fault=fault)
    if draw < 0.73:
        return Line(chance.choice(NUMBERS), "number", doubted=doubted)
    if draw < 0.77:
        return Line(chance.choice(UNREAD), "words")
    if draw < 0.8 and check.answers:
        return Line(chance.choice(("split", "undamaged", "lunch")), "edit")
    if draw < 0.87:
        return _from_elsewhere(check, chance)
    return Line("", "silence") if draw < 0.88 else Line(chance.choice(COMMANDS), "command")


def _from_elsewhere(check: Check, chance: random.Random) -> Line:
    """Of another face, of another moment, or in another window."""
    kind = chance.choice(("face", "face", "forward", "window"))
    if kind == "face":
        words = chance.choice(FACES)
        side = chance.choice(("this side", "other side"))
        return Line(f"{side} {words}", "face", about=words.split()[0])
    if kind == "forward":
        answer = PASSES[check.asked.key] if check.asked else "yes"
        return Line(chance.choice((answer, "yes", "finish check", "no")), "forward")
    return Line("", kind)


def _fault(part: str, chance: random.Random, doubted: bool) -> Line:
    if part in FAULTS and chance.random() < 0.5:
        words, fault = chance.choice(FAULTS[part])
        if chance.random() < 0.2:
            return Line(f"no, {words}", "fault", about=part, fault=fault, corrects=True)
        names_itself = part if part == "hinges" else ""  # nothing else has screws
        return Line(words, "fault", names_itself, part, fault, doubted)
    about = chance.choice(list(FAULTS))
    words, fault = chance.choice(FAULTS[about])
    if about == "clear" or "sign" in words:  # these name their part by themselves
        return Line(words, "fault", about, about, fault, doubted)
    name = NAMES.get(about, about)
    return Line(f"{name} {words}", "fault", about, about, fault, doubted)


class Reader:
    """typed(), remembered: most talks say the same at the same question."""

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], AnyHeard] = {}

    def read(self, words: str, expected: ExpectedInput, by: By = By.TYPING) -> AnyHeard:
        key = (words, by, expected.offered, expected.signature)
        if key not in self._kept:
            self._kept[key] = typed(UNDERSTANDING, words, expected, by)
        return self._kept[key]


READER = Reader()


def heard_of(line: Line, check: Check) -> AnyHeard:
    """A line as it is heard now."""
    if line.kind == "silence":
        return Silence()
    if line.kind == "words" and check.stage not in FREE:
        return OffGrammar(by=By.TYPING, words=line.words)
    heard = READER.read(line.words, expected_input(check))
    if line.kind == "forward":
        return as_forwarded(check, heard)
    if line.doubted and isinstance(heard, Heard):
        return Unsure(guesses=(heard,))
    return heard


class Broken(AssertionError):
    """A law that did not hold, with the talk that broke it."""


@dataclass
class Talk:
    """One talk and its ledger."""

    visit: Visit
    lines: list[Line]

    @classmethod
    def at(cls, door: Door, batches: bool = False) -> Talk:
        """batches: of somebody who is asked about several parts at once."""
        visit = Visit(door)
        visit.turn = start_check("c1", door, "Robin", CHECKLIST, NOON, batches=batches)
        return cls(visit, [])

    def say(self, line: Line) -> None:
        """One line more; raises Broken where a law does not hold after it."""
        before, prompts = self.visit.check, self.visit.turn.say
        self.lines.append(line)
        if line.kind == "edit":
            turn, heard = self._edit(line, before)
        elif line.kind == "window":
            # nobody says anything for this turn
            turn, heard = goes_on_here(before, NOON, "one", "two"), Silence()
        else:
            heard = heard_of(line, before)
            self.visit.take(heard)
            turn = self.visit.turn
        self.visit.turn = turn
        for law, wrong in laws(line, heard, before, prompts, turn):
            if wrong:
                told = "\n".join(f"  {each.words!r} ({each.kind})" for each in self.lines)
                raise Broken(f"{law}: {wrong}\nat {before.open}, {before.stage}\n{told}")

    def _edit(self, line: Line, check: Check) -> tuple[Turn, AnyHeard]:
        answer = list(check.answers.values())[len(self.lines) % len(check.answers)]
        heard = READER.read(line.words, expected_in_change(check, [answer.id]), By.EDIT)
        return amend(check, [answer.id], heard, NOON), heard


def run(seed: int, turns: int = 45) -> Talk:
    """One whole random talk."""
    chance = random.Random(seed)
    talk = Talk.at(chance.choice(DOORS), batches=seed % 2 == 1)
    for _ in range(turns):
        if talk.visit.check.closed:
            break
        before = talk.lines[-1] if talk.lines else None
        talk.say(next_line(talk.visit.check, before, chance))
    return talk


# ---- the laws --------------------------------------------------------------------------------


def faults_in(check: Check) -> set[tuple[str, str]]:
    """Component and name of each fault that is entered, waits for a yes, or is reported."""
    found = {
        pair for key, answer in check.answers.items() for pair in _named(check, key, answer.value)
    }
    for said in (*(check.pending.said if check.pending else ()), *(r.said for r in check.reported)):
        found |= set(_said(check, said))
    return found


def _said(check: Check, said: Said) -> Iterator[tuple[str, str]]:
    if said.question and not isinstance(said.value, Command):
        yield from _named(check, said.question, said.value)


def _named(check: Check, key: str, value: Value) -> Iterator[tuple[str, str]]:
    if isinstance(value, Condition):
        component = check.checklist.ask(key).component
        yield from ((component, each.name) for each in value.defects)


def passed(check: Check) -> set[str]:
    """Questions that stand as sound."""
    return {
        key
        for key, answer in check.answers.items()
        if verdict(answer.value, check.findings[key]) is Verdict.SOUND
    }


Law = tuple[str, object]


def laws(line: Line, heard: AnyHeard, before: Check, said: object, turn: Turn) -> Iterator[Law]:
    """Each law with what breaks it, empty where it holds."""
    after = turn.check
    if line.kind == "window":
        yield "another window changes nothing", _changed(before, after)
        yield "no fault vanishes", faults_in(before) - faults_in(after)
        return
    yield "every message is entered as it came", _message(line, before, turn)
    if after.closed:
        yield "a forward confirms and orders nothing", line.kind == "forward" and not before.closed
        return
    yield "a forward confirms and orders nothing", _by_forward(line, before, after)
    yield "no fault vanishes", _vanished(line, heard, before, after)
    yield "a fault that is told is kept", _not_kept(line, heard, before, after)
    yield "words that are not read are kept", _words_lost(line, before, after)
    yield "no unseen part passes", _passes(line, heard, before, after)
    yield "no leaf passes that was not named", _other_leaf(line, before, after)
    yield "a denial never yields what it denies", _denied(line, before, after)
    yield "a bare fault goes to the part asked about", _astray(line, before, after)
    yield "a number answers the open question or nothing", _numbered(line, before, after)
    yield "what stands already moves nothing", _moved(line, heard, before, turn)


def _changed(before: Check, after: Check) -> object:
    """What a turn changed that nobody said anything for: the question and what waits stay."""
    fields = ("answers", "findings", "open", "stage", "pending", "redo", "put_off", "left", "said")
    return [each for each in fields if getattr(before, each) != getattr(after, each)]


def _by_forward(line: Line, before: Check, after: Check) -> object:
    """What a forward did by itself: it may only be read back."""
    if line.kind != "forward" or before.stage in FREE:
        return ""
    return after.answers != before.answers or after.stage in (Stage.SIGNED, Stage.CANCELLED)


def _message(line: Line, before: Check, turn: Turn) -> object:
    if turn.message is None:
        return "" if before.closed else "no message"
    kept = turn.message.body["words"]
    return "" if line.kind == "silence" or kept == line.words else kept


def _vanished(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    """Faults may go by an answer asked for anew, a no, a yes to a read-back, an undo, an edit."""
    gone = faults_in(before) - faults_in(after)
    if not gone or line.words in ("undo", "no", "yes") or line.kind == "edit" or line.corrects:
        return ""
    asked_anew = {before.checklist.ask(key).component for key in before.redo[:1]}
    asked_anew |= {before.checklist.ask(before.open).component} if before.open else set()
    settled = {pair for pair in gone if pair[0] in asked_anew and _open_answered(before, after)}
    denied = {(line.about, line.fault)} if line.kind == "denial" else set()
    return gone - settled - denied


def _open_answered(before: Check, after: Check) -> bool:
    key = before.open or ""
    return key in after.answers and after.answers[key] != before.answers.get(key)


def _not_kept(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    if line.kind != "fault" or not isinstance(heard, Heard | Unsure):
        return ""
    if before.stage in (*FREE, Stage.PAUSED, Stage.CANCELLING):
        return ""
    said = heard.said if isinstance(heard, Heard) else heard.guesses[0].said
    told = {pair for each in said for pair in _said(before, each)}
    if line.doubted and _refused_before(before, after):
        return ""
    return told - faults_in(after)


def _words_lost(line: Line, before: Check, after: Check) -> object:
    """Words typed at a question about a part: they wait there, or are reported."""
    if line.kind != "words" or before.stage is not Stage.ASKING:
        return ""
    if before.asked is None or before.asked.component == "register":
        return ""
    waiting = [each.words for each in after.unread] + [each.heard.words for each in after.reported]
    return "" if any(line.words in each for each in waiting) else line.words


def _refused_before(before: Check, after: Check) -> bool:
    """Whether the doubtful words were said to be misheard just before, at this question."""
    return bool(before.refused) or before.stage is Stage.CONFIRMING


def _passes(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    new = {key for key in passed(after) - passed(before) if not _judged_anew(key, before, after)}
    if line.kind == "pass" and isinstance(heard, Heard):
        # said to a read-back, it is of the part that is read back
        waiting = before.pending.said if before.pending else ()
        return new - {before.open or "", *(each.question for each in waiting)}
    if line.words == "yes" and before.pending:
        return new - {each.question for each in before.pending.said}
    if line.kind in ("number", "denial"):
        waiting = _figures_waiting(before) if line.kind == "number" else ()
        return new - {before.open or "", *waiting}
    if line.words == "all sound":
        return new - {before.open or "", *(each.key for each in invited(before))}
    if line.kind == "batch" and isinstance(heard, Heard):
        parts = (before.asked.component if before.asked else "", *line.about.split())
        return {key for key in new if before.checklist.ask(key).component not in parts}
    if line.kind in ("command", "words") and not isinstance(heard, Heard):
        return new
    if line.kind in ("fault", "words", "silence", "forward"):
        return new
    if line.kind == "face":
        return {key for key in new if not _is_of_face(line, before, key)}
    if line.words in ("first one",):
        return new
    return ""


def _judged_anew(key: str, before: Check, after: Check) -> bool:
    """Whether the very answer stood before, and only the door is another one by now."""
    stood = before.answers.get(key)
    same = stood is not None and stood.value == after.answers[key].value
    return same and before.door != after.door


def _figures_waiting(check: Check) -> set[str]:
    """Questions of a count or a length that is read back: a number may be said to that."""
    waiting = check.pending.said if check.pending else ()
    return {each.question or "" for each in waiting if isinstance(each.value, Count | Measure)}


def _other_leaf(line: Line, before: Check, after: Check) -> object:
    """Questions of one leaf of a pair that passed, where the other was spoken of or asked about."""
    if line.kind == "edit" or not before.door.pair or any(map(line.words.count, NAMES_LEAF)):
        return ""
    waiting = [each.question for each in before.pending.said] if before.pending else []
    told = {before.open, *waiting, *(each.key for each in invited(before))}
    leaf = before.asked.leaf if before.asked else None
    of_one = {key for key in passed(after) - passed(before) if first_leaf_key(key) in EACH_LEAF}
    return {key for key in of_one - told if before.checklist.ask(key).leaf != leaf}


def _is_of_face(line: Line, before: Check, key: str) -> bool:
    """Whether a question is of the part and the face that were named. Behind the door "other side"
    may mean either.
    """
    question = before.checklist.ask(key)
    behind = before.asked is not None and before.asked.side == "beyond"
    named = "beyond" if line.words.startswith("other side") else "here"
    return question.component == line.about and (behind or question.side == named)


def _denied(line: Line, before: Check, after: Check) -> object:
    if line.kind != "denial":
        return ""
    return {(line.about, line.fault)} & (faults_in(after) - faults_in(before))


def _astray(line: Line, before: Check, after: Check) -> object:
    """Keys of questions not asked about that a fault went to which names no part."""
    if line.kind != "fault" or line.part:
        return ""
    allowed = {before.open, *before.last}
    allowed |= {each.question for each in before.pending.said} if before.pending else set()
    asked = before.asked.component if before.asked else ""
    changed = {key for key in after.answers if after.answers[key] != before.answers.get(key)}
    return {key for key in changed - allowed if before.checklist.ask(key).component != asked}


def _numbered(line: Line, before: Check, after: Check) -> object:
    if line.kind != "number":
        return ""
    allowed = {before.open}
    allowed |= {each.question for each in before.pending.said} if before.pending else set()
    changed = {key for key in after.answers if after.answers[key] != before.answers.get(key)}
    return changed - allowed


def _moved(line: Line, heard: AnyHeard, before: Check, turn: Turn) -> object:
    """A fault of a named part that has it already: nothing is entered, and the question stays."""
    if line.kind != "fault" or not line.part or before.stage is not Stage.ASKING:
        return ""
    if isinstance(heard, OffGrammar):
        return ""
    if before.asked and before.asked.component == line.part:
        return ""
    keys = [k for k in before.answers if before.checklist.ask(k).component == line.part]
    here = [
        k
        for k in keys
        if (line.part, line.fault) in set(_named(before, k, before.answers[k].value))
    ]
    face = before.asked.side if before.asked else None
    if before.checklist.ask(keys[0]).side not in (None, face) if keys else True:
        return ""
    if len(keys) != 1 or here != keys or any(is_own(n) for _, n in faults_in(before)):
        return ""
    entered = [each for each in turn.enter if each.kind is EntryKind.ANSWERED]
    return entered or (turn.check.open != before.open and turn.check.open)
