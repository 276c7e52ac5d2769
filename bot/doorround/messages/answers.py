"""Answers in words, for read-backs, repeats and the logbook: "Hinges: 2 screws missing"."""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.checklist import Checklist, Question
from doorround.domain.gap_points import NAMES, PLACES, SEVERAL_EDGES
from doorround.domain.input_result import Said
from doorround.domain.judging.formatting import defect_words, in_words
from doorround.domain.parts import part_name
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Command,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Value,
    YesNo,
)

NOT_CHECKED = "not checked"
NOT_MEASURED = "not measured"
_AS_SEEN = {"unknown": "not known", "clear fire-resisting": "clear"}
"""Register values as read back: only what can be seen at the door."""
_FACTS = {
    "register.use": {"other": "something else"},
    "register.leaves": {"pair": "a pair"},
    "register.operation": {
        "hinged": "on hinges",
        "double-action": "both ways",
        "up-and-over": "up and over",
        "roller shutter": "as a roller shutter",
        "folding": "by folding",
        "sliding": "by sliding",
    },
    "register.screens": {
        "beside": "beside the door",
        "above": "above the door",
        "beside and above": "beside and above the door",
    },
    "register.closer": {"none, kept locked": "none, as the door is kept locked"},
    "register.seals_in": {"leaf": "the leaf", "frame": "the frame"},
}
"""Register values whose stored form is not what anybody says, by question: "something else"."""
_STATES = {
    "lock": ("locked", "found open"),
    "lock.way_out": ("opens without a key", "needs a key"),
    "mark": ("there", "none"),
    "alarm_release": ("seen to let go", "stayed open"),
}
"""What a yes and a no mean for the door, by question: "Lock: locked."."""


def value_words(question: Question, value: Value, checklist: Checklist) -> str:
    """An answer in words: "sound", "2 screws missing, top hinge", "3 mm", "not checked: locked"."""
    match value:
        case Condition(defects=()):
            return "sound"
        case Condition(defects=defects):
            return "; ".join(_fault_words(question, each, checklist) for each in defects)
        case Count(number=number):
            return str(number)
        case Measure():
            return measure_words(value)
        case NotMeasured():
            return NOT_MEASURED
        case YesNo(yes=yes):
            return _STATES.get(question.key, ("yes", "no"))[0 if yes else 1]
        case Choice(chosen=chosen):
            return _FACTS.get(question.key, _AS_SEEN).get(chosen, _AS_SEEN.get(chosen, chosen))
        case CannotCheck(reason=reason):
            return not_checked(reason)
        case DoesNotApply(reason=reason):
            return f"does not apply: {reason}" if reason else "does not apply"


def not_checked(reason: str | None) -> str:
    """ "not checked: locked"; without a reason "not checked"."""
    return f"{NOT_CHECKED}: {reason}" if reason else NOT_CHECKED


def measure_words(value: Measure) -> str:
    """A measured value: "3 mm"; with several points "head from the hinge side 3, 3.5, 4 mm; lock
    side 3 mm".
    """
    if not value.spots:
        return f"{_amount(value.amount, value)} {value.unit}"
    edges = dict.fromkeys(spot.edge for spot in value.spots)
    return "; ".join(_edge_words(edge, value) for edge in edges)


def _amount(amount: Fraction, value: Measure) -> str:
    return str(amount) if value.unit == "in" else in_words(amount)


def _edge_words(edge: str, value: Measure) -> str:
    spots = {spot.place: spot for spot in value.spots if spot.edge == edge}
    order = PLACES.get(edge, ())
    if order and all(place in spots for place in order):
        beginning = "from the top" if order[0] == "top" else "from the hinge side"
        places = [beginning, ", ".join(_amount(spots[place].amount, value) for place in order)]
    else:
        each_place = (f"{place} {_amount(spot.amount, value)}" for place, spot in spots.items())
        places = [", ".join(words.strip() for words in each_place)]
    name = NAMES[edge] if edge in SEVERAL_EDGES else "" if edge else "elsewhere"
    return " ".join(part for part in (name, *places, value.unit) if part)


def _fault_words(question: Question, defect: Defect, checklist: Checklist) -> str:
    words = defect_words(checklist.fault(question.component, defect.name).words, defect)
    return f"{words}, made good on the spot" if defect.made_good else words


def said_words(said: Said, checklist: Checklist) -> str:
    """One answer as read back: "Hinges: 2 screws missing"."""
    if isinstance(said.value, Command):
        return said.phrase
    question = checklist.ask(said.question or "")
    part = part_name(question, checklist)
    if question.works and isinstance(said.value, Condition) and said.value.sound:
        return f"{part}: {question.works}"
    if said.partial:
        return f"{part}: {said.phrase}, and nothing else wrong"
    return f"{part}: {value_words(question, said.value, checklist)}"
