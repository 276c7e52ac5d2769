"""Names of door parts in messages."""

from __future__ import annotations

from doorround.domain.checklist import Checklist, Question
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key


def part_name(question: Question, checklist: Checklist) -> str:
    """The part and, where there are two faces, tests or leaves, which one: "Frame, other side"."""
    if question.leaf == "second":
        of_first = question.model_copy(update={"leaf": None, "key": first_leaf_key(question.key)})
        return f"{_of_one_leaf(of_first, checklist)}, second leaf"
    name = _of_one_leaf(question, checklist)
    return f"{name}, first leaf" if checklist.pair and question.key in EACH_LEAF else name


def _of_one_leaf(question: Question, checklist: Checklist) -> str:
    name = checklist.part(question.component).name
    if question.side:
        return f"{name}, {face_name(question, checklist)}"
    if question.component == "register":
        return _FIELD_NAMES.get(question.fills or "", name)
    alone = [each.key for each in checklist.question if each.component == question.component] == [
        question.key
    ]
    return name if alone else f"{name}{_TWIN_NAMES.get(question.key, '')}"


def face_name(question: Question, checklist: Checklist) -> str:
    """Name of the face that a question looks at: "this side", "corridor side"; "" if none."""
    if question.side is None:
        return ""
    here, beyond = checklist.faces
    return here if question.side == "here" else beyond


def faceless_name(question: Question, checklist: Checklist) -> str:
    """The same where the face is understood: "Frame"."""
    return part_name(question.model_copy(update={"side": None}), checklist)


_TWIN_NAMES = {
    "closer.full": " from fully open",
    "closer.ajar": " from 15 degrees",
    "closer.seconds": ", seconds from 90 degrees",
    "closer.force_low": ", force to open up to 30 degrees",
    "closer.force_high": ", force to open from 30 to 60 degrees",
    "gaps.sides": " at head and sides",
    "gaps.meeting": " at the meeting edges",
    "gaps.threshold": " at the threshold",
    "hinges.count": " counted",
    "alarm_release": " on the alarm",
    "lock.escape": ", escape route or way in to a home",
    **{
        f"gaps.{edge}_{place}": f" at the {words}, {place}"
        for edge, words in (
            ("head", "head"),
            ("hinge", "hinge side"),
            ("lock", "lock side"),
            ("meeting", "meeting edges"),
            ("threshold", "threshold"),
        )
        for place in ("hinge", "middle", "lock", "top", "bottom")
    },
}
_FIELD_NAMES = {
    "use": "Use",
    "rating": "Rating",
    "leaves": "Leaves",
    "material": "Material",
    "glazing": "Glass",
    "closer": "Closer",
    "hold_open": "Hold-open",
    "latch": "Latch or lock",
    "leaf_width_mm": "Leaf width",
    "leaf_height_mm": "Leaf height",
    "leaf_mass_kg": "Leaf weight",
    "seals": "Kind of seals",
    "seals_in": "Seals in",
    "threshold_seal": "Threshold seal",
    "letter_plate": "Letter plate",
    "operation": "Opens",
    "screens": "Fixed glass",
    "first_side": "First side",
}

_PART_WORDS = {
    "clear": "doorway",
    "gaps": "gap",
    "mark": "glass mark",
    "coordinator": "closing order",
}


def fault_with_part(component: str, what: str, face: str | None = None) -> str:
    """A fault with its part, unless its words already name it: "leaf: a hole in it", "painted
    seals"; with a named face "leaf, corridor side: a hole in it".
    """
    part = _PART_WORDS.get(component, component.replace("_", " "))
    side = f", {face}" if face else ""
    return f"{what}{side}" if part.removesuffix("s") in what.lower() else f"{part}{side}: {what}"
