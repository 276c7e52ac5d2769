"""A fire door as the door schedule describes it."""

from __future__ import annotations

from datetime import date
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, field_validator

from doorround.domain.door_kinds import (
    OTHER_SIDE,
    UNNAMED_FACES,
    Closer,
    Fitted,
    Frame,
    Glazing,
    HoldOpen,
    Latch,
    Leaves,
    Material,
    Operation,
    Screens,
    SealPlace,
    Seals,
    Side,
    Sign,
    Use,
)
from doorround.domain.evidence import named_document
from doorround.domain.rating import FireRating

__all__ = [
    "Closer",
    "Door",
    "Fitted",
    "Frame",
    "Glazing",
    "HoldOpen",
    "Latch",
    "Leaves",
    "Material",
    "Operation",
    "Screens",
    "SealPlace",
    "Seals",
    "Side",
    "Sign",
    "Use",
]

# Doors in these places need no sign: flat entrance doors (Approved Document B, appendix C, from
# memory).
_NO_SIGN = (Use.FLAT_ENTRANCE,)
# Doors of these may be kept locked shut in place of a closer: cupboards and risers, GOV.UK, fire
# door guidance (secondary); cupboards and service ducts, Approved Document B, C5 (secondary); plant
# rooms: common practice, no source.
_MAY_BE_KEPT_LOCKED = (Use.CUPBOARD, Use.RISER, Use.PLANT_ROOM)
# People leave through these: common practice, no source.
_WAYS_OUT = (Use.CORRIDOR, Use.STAIR, Use.LOBBY, Use.FLAT_ENTRANCE, Use.FINAL_EXIT)

MAX_REMARKS = 2000
"""Letters: what a door schedule says beside the fields may be long."""


class Door(BaseModel):
    """One door assembly. None means unknown: it is asked for at the first check, never assumed.

    leaf_width_mm, leaf_height_mm: one leaf, millimetres. leaf_mass_kg: one leaf, kilograms.
    hinges: how many hinges each leaf should have. sign: set only where the sign differs from the
    usual one.
    closer_size: power size by EN 1154, 1 to 7. hinge_grade: by EN 1935, 1 to 14. seal_width_mm: of
    one strip. evidence: the door's own test evidence or its maker's instructions, by name; what it
    allows: gap_sides_least_mm, gap_sides_most_mm, gap_meeting_most_mm, gap_threshold_most_mm,
    evidence_seals. It prevails over every set of rules, where the document is named.
    frame: what the frame is made of. screens: fixed glass in the same frame. back_check: whether
    the closer has a back-check. hinge_height_mm: of one hinge. first_side: what the
    face is called that a check begins at. alarm_release: the day of the last alarm test at which
    the door was seen to be let go. remarks: what a door schedule says that no
    field holds.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    number: str = Field(min_length=1, max_length=20)
    site: str = Field(default="", max_length=80)
    building: str = Field(default="", max_length=80)
    floor: str = Field(default="", max_length=40)
    place: str = Field(default="", max_length=120)
    use: Use | None = None
    rating: FireRating | None = None
    leaves: Leaves | None = None
    leaf_width_mm: float | None = Field(default=None, gt=200, le=3000)
    leaf_height_mm: float | None = Field(default=None, gt=400, le=5000)
    leaf_mass_kg: float | None = Field(default=None, gt=2, le=500)
    material: Material | None = None
    glazing: Glazing | None = None
    seals: Seals | None = None
    seals_in: SealPlace | None = None
    seal_width_mm: float | None = Field(default=None, gt=0, le=100)
    hinges: int | None = Field(default=None, ge=1, le=8)
    closer: Closer | None = None
    hold_open: HoldOpen | None = None
    latch: Latch | None = None
    threshold_seal: Fitted | None = None
    sign: Sign | None = None
    closer_size: int | None = Field(default=None, ge=1, le=7)
    hinge_grade: int | None = Field(default=None, ge=1, le=14)
    letter_plate: Fitted | None = None
    evidence: str | None = Field(default=None, max_length=200)
    gap_sides_least_mm: float | None = Field(default=None, ge=0, le=20)
    gap_sides_most_mm: float | None = Field(default=None, gt=0, le=40)
    gap_meeting_most_mm: float | None = Field(default=None, gt=0, le=40)
    gap_threshold_most_mm: float | None = Field(default=None, gt=0, le=80)
    evidence_seals: Seals | None = None
    remarks: str | None = Field(default=None, max_length=MAX_REMARKS)
    operation: Operation | None = None
    screens: Screens | None = None
    first_side: Side | None = None
    frame: Frame | None = None
    back_check: Fitted | None = None
    hinge_height_mm: float | None = Field(default=None, gt=20, le=3000)
    alarm_release: date | None = None

    @field_validator("alarm_release", mode="before")
    @classmethod
    def _a_day(cls, given: Any) -> Any:
        """A number is no day, though it might be read as seconds."""
        if given is None or isinstance(given, str | date):
            return given
        raise ValueError("write a day, such as 2026-03-31")

    @property
    def faces(self) -> tuple[str, str]:
        """What its two faces are called, the one that a check begins at first."""
        if self.first_side not in OTHER_SIDE:
            return UNNAMED_FACES
        return str(self.first_side), str(OTHER_SIDE[self.first_side])

    @property
    def kept_locked(self) -> bool | None:
        """Whether it is said to have no closer because it is kept locked shut; None when the closer
        is unknown.
        """
        return None if self.closer is None else self.closer is Closer.KEPT_LOCKED

    @property
    def may_be_kept_locked(self) -> bool:
        """Whether a lock may stand in place of its closer.

        False where it is not known what the door is for.
        """
        return self.use in _MAY_BE_KEPT_LOCKED

    @property
    def held_by_its_lock(self) -> bool:
        """Whether nothing but its lock keeps it shut, as it may be."""
        return self.kept_locked is True and self.may_be_kept_locked

    @property
    def never_locked(self) -> bool:
        """Whether it is known to be for something else than what may be kept locked."""
        return self.use is not None and not self.may_be_kept_locked

    @property
    def way_out(self) -> bool:
        """Whether people leave through it, so that it is never to be locked.

        False where that is not known.
        """
        return self.use in _WAYS_OUT

    @property
    def needs_closer(self) -> bool | None:
        """Every door must close by itself (common practice; GOV.UK fire door guidance), but for
        those that may be kept locked, and are.
        """
        if self.never_locked:
            return True
        if self.kept_locked is None:
            return None
        return None if self.kept_locked and self.use is None else not self.kept_locked

    @property
    def is_held(self) -> bool | None:
        """Whether a device may hold it open; what needs no closer is not asked for one."""
        if self.hold_open is None:
            return False if self.needs_closer is False else None
        return self.hold_open is not HoldOpen.NONE

    @property
    def let_go_by_alarm(self) -> bool | None:
        """Whether the alarm has to let it go: held open by a device, or a free-swing closer."""
        return True if self.closer is Closer.FREE_SWING else self.is_held

    @property
    def hinged(self) -> bool | None:
        """Whether it hangs on hinges, as the doors that are judged here do."""
        if self.operation is None:
            return None
        return self.operation in (Operation.HINGED, Operation.DOUBLE_ACTION)

    @property
    def has_screens(self) -> bool:
        """Whether it is known that there is fixed glass beside or above it."""
        return self.screens is not None and self.screens is not Screens.NONE

    @property
    def undescribed(self) -> bool:
        """Whether the register has not begun to say what kind of door it is."""
        return self.material is None and self.glazing is None

    @property
    def pair(self) -> bool:
        """Whether it is known to be a pair; until then nothing is asked of a second leaf."""
        return self.leaves is Leaves.PAIR

    @property
    def document(self) -> str | None:
        """Its own evidence, where a document is named: "unknown" and the like name none."""
        return named_document(self.evidence)

    @property
    def has_letter_plate(self) -> bool | None:
        """Whether there is a letter plate to look at; where the register does not say, only a flat
        entrance may have one.
        """
        may_have = self.letter_plate is None and self.use in (None, Use.FLAT_ENTRANCE)
        return None if may_have else self.known_letter_plate

    @property
    def known_letter_plate(self) -> bool:
        return self.letter_plate is Fitted.YES

    @property
    def has_seals(self) -> bool | None:
        return None if self.seals is None else self.seals is not Seals.NONE

    @property
    def wants_gaskets(self) -> bool:
        """Whether gaskets or edge seals are to be looked for, where only smoke wants them."""
        return self.seals is not Seals.NONE or not self.no_smoke

    @property
    def plain_strips(self) -> bool:
        """Whether its seals are known to be plain strips, which resist fire only."""
        return self.seals in (Seals.PLAIN, Seals.PAIR)

    @property
    def no_smoke(self) -> bool:
        """Whether it is known that it need not hold smoke."""
        return self.holds_smoke is False

    @property
    def sixty_minutes(self) -> bool | None:
        """Whether its rating is of 60 minutes or more."""
        return None if self.rating is None else self.rating.minutes >= 60

    @property
    def holds_smoke(self) -> bool | None:
        return None if self.rating is None else self.rating.smoke

    @property
    def expected_sign(self) -> Sign | None:
        """Sign this door should carry; None when it cannot be told yet.

        Source: Approved Document B (England), appendix C (from memory); the register's own value
        prevails, but for a sign to lock what may not be locked.
        """
        if self.sign is not None and not (self.sign is Sign.KEEP_LOCKED and self.never_locked):
            return self.sign
        if self.use in _NO_SIGN:
            return Sign.NONE
        if self.needs_closer is False:
            return Sign.KEEP_LOCKED
        if self.needs_closer is None or self.is_held is None:
            return None
        return Sign.KEEP_CLEAR if self.is_held else Sign.KEEP_SHUT

    @property
    def sign_here(self) -> bool | None:
        """A sign belongs on the face one stands before. None: unknown, so it is asked."""
        return None if self.expected_sign is None else self.expected_sign is not Sign.NONE

    @property
    def sign_beyond(self) -> bool | None:
        """A sign belongs on the other face too: not on a door kept locked, whose sign is on the
        outer face only.
        """
        if self.expected_sign is None:
            return None
        return self.expected_sign not in (Sign.NONE, Sign.KEEP_LOCKED)

    @property
    def where(self) -> str:
        """Where the door is, in words: "ground floor, by the post room"."""
        return ", ".join(part for part in (self.building, self.floor, self.place) if part)
