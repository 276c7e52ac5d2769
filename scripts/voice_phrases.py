"""The phrases spoken by the tests' voices, by question or by test."""

from __future__ import annotations

SAID = (
    "yes",
    "no",
    "three",
    "seals fine",
    "two screws missing",
    "painted over",
    "closes fully",
    "slams",
    "does not close",
    "top hinge loose",
    "cracked bottom left",
    "all tight",
    "not damaged",
    "no seals",
    "won't latch",
    "say again",
    "finish check",
    "all clear",
    "wedged open",
    "cannot check",
)


STRANGE = (
    "shall we have the soup today or go to the bakery again",
    "the bus was late because of the rain",
    "blim floster wabe granning tove",
)


BREATH = ("seals fine", "three", "slams")
"""Three answers in one breath, with pauses between."""


DOORS = (
    "door two fourteen",
    "two forty",
    "two hundred and fourteen",
    "the plant room on two",
    "stair b third floor",
    "stair b",
    "door one oh seven",
    "next door",
    "door nine hundred",
    "read aloud",
    "stop reading",
)
"""Names of doors, said where the bot asks which."""


ASKED = (
    "what is due",
    "which doors are due today",
    "who is late",
    "what is overdue",
    "show door two fourteen",
    "show me door one oh seven",
    "show stair b",
    "how is the plant room on two",
    "what is wrong",
    "what is wrong on floor two",
    "open defects",
    "summary",
    "give me the weekly summary",
    "next",
    "look at door one oh seven",
    "look at the repair at stair b",
    "look at the repairs",
    "another door",
    "new door",
    "add a new door",
    "change door two fourteen",
)
"""What a supervisor asks where no check is open."""


COMMANDS = (
    "change rating",
    "change the use",
    "change kind of closer",
    "change door",
    "change material",
    "change number of leaves",
)
"""What is said in a check to change what the register says of the door."""


NEGATED = {
    "clear": ("not wedged", "no wedge", "nothing in the way"),
    "sign.here": ("not faded", "no sign", "not readable", "not there"),
    "frame.here": ("not damaged", "no cracks", "isn't loose", "not firm"),
    "leaf.here": ("no holes", "not warped"),
    "glass.here": ("not cracked", "not loose", "not firm"),
    "mark": ("no mark",),
    "latch": ("not stiff", "won't latch", "not latching", "doesn't catch"),
    "seals": (
        "not painted",
        "no paint",
        "isn't painted",
        "nothing missing",
        "no seals",
        "not complete",
    ),
    "threshold": ("won't drop", "doesn't touch the floor", "not touching"),
    "hinges.fixings": (
        "no screws missing",
        "nothing loose",
        "not loose",
        "not tight",
        "not marked",
    ),
    "hold_open": ("won't let go", "not releasing"),
    "closer.full": ("not closing", "doesn't close", "won't close", "does not shut", "won't latch"),
    "closer.ajar": ("doesn't shut", "not shutting"),
}
"""What denies something, at its question: some are passes, some faults."""


COUNTERED = {
    "lock": ("it was locked", "it was unlocked", "unlocked"),
    "mark": ("marked", "unmarked"),
    "clear": ("nothing against it", "something against it", "something in the way"),
    "sign.here": ("readable", "unreadable"),
    "frame.here": ("undamaged", "damaged"),
    "leaf.here": ("undamaged", "damaged"),
    "glass.here": ("undamaged", "damaged"),
    "seals": ("unpainted", "painted", "all there", "none there", "some missing"),
    "hinges.fixings": ("none missing",),
}
"""What is denied by "un" or "nothing", and what then says the opposite.

At the glass "damaged" is no answer.
"""


SOFTENED = {
    "glass.here": ("not fine", "isn't fine", "it's fine"),
    "seals": ("not fine", "aren't fine", "they're fine"),
    "closer.full": ("not fine", "not okay", "it's fine"),
    "hinges.fixings": ("aren't tight", "they're tight", "yeah all tight"),
    "latch": ("not okay", "it's okay"),
}
"""A pass with a beginning, and what denies it; "not fine" names no fault and is no answer."""


CLEARED = {
    "leaf.beyond": ("it's undamaged", "it's all damaged", "all undamaged", "nothing wrong"),
    "frame.here": ("undamaged and firm", "nothing loose", "it's damaged"),
    "glass.here": ("firm and unbroken", "unbroken", "nothing loose", "loose", "nothing wrong"),
    "seals": (
        "they're undamaged",
        "they're unpainted",
        "never painted",
        "they're painted",
        "nothing loose",
        "something missing",
    ),
    "clear": ("it's unobstructed", "it's obstructed", "not obstructed"),
    "latch": ("nothing loose", "loose"),
    "hinges.fixings": ("nothing missing", "nothing wrong", "something loose"),
    "sign.here": ("nothing loose", "loose"),
    "threshold": ("nothing missing", "missing"),
}
"""What clears of a fault, and the fault.

No answers: "nothing loose" at the sign, "nothing missing" at the seal.
"""


OWN = {
    "closer.full": ("knackered", "it's knackered"),
    "leaf.here": ("manky",),
    "hinges.fixings": ("shipshape",),
    "seals": ("tickety boo",),
}
"""Phrases that no grammar holds until an organisation adds them."""


ANSWERS = {
    "clear": ("removed the wedge", "moved the boxes", "cabin hook", "parcels in the way"),
    "sign.here": ("same again fine", "can't make it out", "too big"),
    "frame.here": ("solid as a rock", "gap behind the frame", "door stop missing"),
    "leaf.here": ("cat flap in it", "kick down holder", "rubbing on the floor"),
    "glass.here": ("beading firm", "putty missing", "plain glass"),
    "latch": ("latches every time", "handle come off"),
    "seals": ("painter been at it", "cut short", "paint on the hinge side"),
    "threshold": ("touches all along", "stuck up"),
    "hinges.fixings": (
        "every screw tight",
        "tightened the screws",
        "needs oil",
        "black dust on them",
    ),
    "closer.full": (
        "stops an inch short",
        "oil running down",
        "needs a push",
        "closes and latches",
    ),
    "hold_open": ("lets go", "not linked"),
    "gaps.sides": (
        "read aloud",
        "stop reading",
        "come back later",
        "play that",
        "take a break",
        "what can I say",
        "scratch that",
        "make a note",
        "change hinges",
        "everything is fine",
        "no access to this door",
        "finish and sign",
        "I am back",
    ),
}
"""Answers and commands that are said in other words than the usual ones; at the gaps, commands
only.
"""


UNFINISHED = {
    "frame.here": ("damaged hinge", "dented near"),
    "frame.beyond": ("not fine this side too",),
    "gaps.meeting": ("meeting edges three four", "top three middle four bottom"),
    "gaps.threshold": ("hinge side six and latch side",),
    "hinges.fixings": ("marked and",),
    "label": ("can read", "both labels"),
    "register.latch": ("isn't a lock",),
    "register.material": ("isn't steel",),
    "seals": ("torn by the",),
}
"""No answers: a part that was named and cut short, or what is denied in words that no answer
has.
"""


HELD_OPEN = {
    "register.material": ("there is a wedge under the door", "it's hooked back"),
    "sign.here": ("the door is wedged open",),
    "hinges.fixings": ("it's wedged open",),
    "seals": ("boxes in the way",),
    "gaps.sides": ("there's a wedge",),
    "closer.full": ("propped open with a chair",),
}
"""A door that is held open, told where something else was asked."""


ELSEWHERE = {
    "latch": ("all tight",),
    "lock": ("screw holes",),
    "sign.here": ("fitted",),
    "threshold": ("doesn't latch",),
    "register.seals": ("works",),
    "frame.here": ("squeaks",),
}
"""Answers to another question, which sound like a fault at this one."""


DENIED = {
    "sign.here": ("no that's wrong",),
    "frame.here": ("no that's wrong",),
    "leaf.here": ("no splits",),
    "glass.here": ("no hole",),
    "closer.full": ("undamaged",),
    "closer.ajar": ("no slamming",),
}
"""A "no" that was heard as a correction of the part before, or as a fault."""
