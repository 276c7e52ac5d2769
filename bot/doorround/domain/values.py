"""Meaning of an answer or a command, independent of its words."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, SerializerFunctionWrapHandler, model_serializer

MM_PER_INCH = Fraction(254, 10)  # exact by definition


class _Value(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Defect(_Value):
    """One fault. name: key such as "painted"; where: "top hinge"; face: "this side"; count: how
    many. made_good: reported as put right on the spot. words: verbatim, for a fault that no rule
    parses; see unnamed_faults.py.
    """

    name: str
    where: str | None = None
    face: str | None = None
    count: int | None = None
    made_good: bool = False
    words: str | None = None

    @model_serializer(mode="wrap")
    def _without_words(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """Faults parsed by a rule keep their original serialisation."""
        return {name: kept for name, kept in write(self).items() if name != "words" or kept}


class Condition(_Value):
    """Sound, or what is wrong. No defects means that the part was reported to be sound."""

    kind: Literal["condition"] = "condition"
    defects: tuple[Defect, ...] = ()

    @property
    def sound(self) -> bool:
        return not self.defects

    @property
    def passes(self) -> bool:
        """Whether it leaves the part sound: nothing wrong, or all of it put right on the spot."""
        return all(defect.made_good for defect in self.defects)


class Count(_Value):
    """How many, such as hinges."""

    kind: Literal["count"] = "count"
    number: int = Field(ge=0)


class Unit(StrEnum):
    """Units of measures."""

    MM = "mm"
    INCH = "in"
    KG = "kg"
    SECOND = "s"
    NEWTON = "N"
    POUND_FORCE = "lbf"


_KINDS = {
    Unit.KG: "a mass",
    Unit.SECOND: "a time",
    Unit.NEWTON: "a force",
    Unit.POUND_FORCE: "a force",
}
# a pound, exactly 0.45359237 kg, under standard gravity, exactly 9.80665 m/s²
NEWTONS_PER_POUND_FORCE = Fraction("4.4482216152605")


class Spot(_Value):
    """A gap at one point. edge: "head", "hinge", "lock", "meeting", "threshold"; "sides": both
    jambs; "" if not given. place: along the edge, as named in domain/gap_points.py; "" for the
    worst of the edge. amount: in the unit of its measure.
    """

    edge: str = ""
    place: str = ""
    amount: Fraction


class Measure(_Value):
    """A measured value, exactly as given. amount: in `unit`, a fraction such as "1/8" or "7/2".

    spots: gaps measured at several points; amount is then the widest of them. unmeasured: edges
    without a value, when others were measured at three points: the answer is then incomplete, and
    not a pass.
    """

    kind: Literal["measure"] = "measure"
    amount: Fraction
    unit: Unit
    spots: tuple[Spot, ...] = ()
    unmeasured: tuple[str, ...] = ()

    @model_serializer(mode="wrap")
    def _without_empty(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """A single value keeps its original serialisation."""
        return {
            name: kept
            for name, kept in write(self).items()
            if name not in ("spots", "unmeasured") or kept
        }

    @property
    def mm(self) -> Fraction:
        """Length in millimetres, exact. Raises ValueError for any other dimension."""
        if self.unit not in (Unit.MM, Unit.INCH):
            raise ValueError(f"{_KINDS[self.unit]} has no length in millimetres")
        return self.amount * MM_PER_INCH if self.unit is Unit.INCH else self.amount

    @property
    def newtons(self) -> Fraction:
        """Force in newtons, exact. Raises ValueError for any other dimension."""
        if self.unit not in (Unit.NEWTON, Unit.POUND_FORCE):
            raise ValueError(f"{_KINDS.get(self.unit, 'a length')} is not a force")
        return (
            self.amount * NEWTONS_PER_POUND_FORCE if self.unit is Unit.POUND_FORCE else self.amount
        )


class NotMeasured(_Value):
    """The caretaker has no gauge at hand, or did not measure."""

    kind: Literal["not_measured"] = "not_measured"


class YesNo(_Value):
    """Yes or no, where the question itself defines which passes."""

    kind: Literal["yes_no"] = "yes_no"
    yes: bool


class Choice(_Value):
    """One of a door's fields, in the register's notation.

    "unknown" if the caretaker cannot tell.
    """

    kind: Literal["choice"] = "choice"
    chosen: str


class CannotCheck(_Value):
    """The part could not be looked at.

    Never a pass. reason: "locked", "obstructed", "no access", …
    """

    kind: Literal["cannot_check"] = "cannot_check"
    reason: str | None = None


class DoesNotApply(_Value):
    """The door has no such part, according to the caretaker. reason: "no glass", …"""

    kind: Literal["does_not_apply"] = "does_not_apply"
    reason: str | None = None


Value = Annotated[
    Condition | Count | Measure | NotMeasured | YesNo | Choice | CannotCheck | DoesNotApply,
    Field(discriminator="kind"),
]


class Word(StrEnum):
    """Commands that work at every question."""

    REPEAT = "repeat"
    PLAY = "play what I missed"
    BACK = "go back"
    SKIP = "skip"
    HELP = "help"
    OPTIONS = "what can I say"
    CHANGE = "change"
    UNDO = "undo"
    PAUSE = "pause"
    RESUME = "carry on"
    FINISH = "finish"
    CANCEL = "cancel"
    NOTE = "note"
    YES = "yes"
    NO = "no"
    ALL_FINE = "everything is fine"
    NO_ACCESS = "no access to the door"
    READ_ALOUD = "read aloud"
    STOP_READING = "stop reading"
    LET_GO = "letting go"
    SHUT = "shut"
    LEFT = "what is left"
    OWN_WORDS = "a fault in my words"
    THAT_ONE = "that one"
    NONE_OF_THEM = "none of them"
    ANOTHER_DOOR = "another door"
    ASIDE = "aside"


class Command(_Value):
    """A command. about: the component it names ("change hinges"); text: the words of a note or a
    fault, why a door cannot be checked, which button of an offer, "1" to "4", or the reply to an
    aside, which is neither an answer nor a miss.
    """

    kind: Literal["command"] = "command"
    word: Word
    about: str | None = None
    text: str | None = None
