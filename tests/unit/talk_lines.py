"""What a drawn talk may say, and what each line tells: faults, denials, numbers, commands."""

from __future__ import annotations

import random
from dataclasses import dataclass

from doorround.domain.check import Check, Stage
from tests.unit.visits import (
    CORRIDOR,
    CUPBOARD,
    HELD_OPEN,
    PAIR,
    PASSES,
    UNKNOWN,
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
    "skip",
    "go back",
    "undo",
    "yes",
    "no",
    "yes",
    "no",
    "repeat",
    "help",
    "what can I say",
    "pause",
    "carry on",
    "carry on",
    "finish check",
    "finish check",
    "note smells of gas",
    "change frame",
    "change leaf",
    "change seals",
    "change hinges",
    "everything is fine",
    "a fault, in my words",
    "none of them",
    "first one",
    "cancel",
    "no",
    "cannot check",
    "not now, another door",
    "what is left",
    "n/a",
    "done",
    "next",
    "stop",
)
# faults in words that no rule reads: the words, the part they are of, the fault
OWN_FAULTS = (
    ("split the frame earlier", "frame", "split"),
    ("other side is split, this side is fine", "", "split"),
    ("someone's wedged it again", "clear", "wedged"),
    ("oh, and it's propped open with an extinguisher", "clear", "propped"),
)
EARLY = (Stage.CONFIRMING, Stage.CANCELLING, Stage.SUMMARY)
"""Where a message may have been sent before what it would settle was shown."""
SENT_EARLY = (
    "yes",
    "no",
    "no, split",
    "no, undamaged",
    "no, 3 mm",
    "finish check",
    "glass cracked",
)
NAMES_LEAF = ("second leaf", "first leaf", "leaves")
# the same words at the face that one stands before, and at the one behind it
FACES = ("frame fine", "leaf fine", "glass fine", "leaf split", "frame damaged", "glass cracked")


@dataclass(frozen=True)
class Line:
    """One thing said. kind: "pass", "fault", "denial", "number", "words", "command", "silence",
    "edit", "face" (of a named face), "forward" (said before and forwarded), "early" (sent before
    what waits was shown) or "window" (the check goes on in another one). part: the component it
    names, "" where it names none; about: the one it is true of.
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
    Line("seals fine, three hinges marked and tight", "batch", about="seals hinges"),
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
    if check.stage in EARLY and draw < 0.12:
        return Line(chance.choice(SENT_EARLY), "early")
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
        return Line(chance.choice(("split", "undamaged and firm", "lunch")), "edit")
    if draw < 0.87:
        return _from_elsewhere(check, chance)
    return Line("", "silence") if draw < 0.88 else Line(chance.choice(COMMANDS), "command")


def _from_elsewhere(check: Check, chance: random.Random) -> Line:
    """Of another face, of another moment, or in another window."""
    kind = chance.choice(("face", "face", "forward", "window", "leaf"))
    if kind == "leaf":
        words, fault = chance.choice((("leaf two split", "split"), ("leaf 2 warped", "warped")))
        return Line(words, "fault", "leaf", "leaf", fault)
    if kind == "face":
        words = chance.choice(FACES)
        side = chance.choice(("this side", "other side"))
        return Line(f"{side} {words}", "face", about=words.split()[0])
    if kind == "forward":
        answer = PASSES[check.asked.key] if check.asked else "yes"
        return Line(chance.choice((answer, "yes", "finish check", "no")), "forward")
    return Line("", kind)


def _fault(part: str, chance: random.Random, doubted: bool) -> Line:
    if chance.random() < 0.1:
        words, about, fault = chance.choice(OWN_FAULTS)
        return Line(words, "fault", about or part, about or part, fault)
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
