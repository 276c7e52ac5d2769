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
# These may be kept locked shut instead of having a closer: cupboards and risers, GOV.UK, fire door
# guidance (secondary); cupboards and service ducts, Approved Document B, C5 (secondary); plant
# rooms: common practice, no source.
_MAY_BE_KEPT_LOCKED = (Use.CUPBOARD, Use.RISER, Use.PLANT_ROOM)
# These are on escape routes: common practice, no source.
_WAYS_OUT = (Use.CORRIDOR, Use.STAIR, Use.LOBBY, Use.FLAT_ENTRANCE, Use.FINAL_EXIT)

MAX_REMARKS = 2000
"""In characters: remarks in a door schedule can be long."""


class Door(BaseModel):
    """One door assembly. None means unknown: asked at the first check, never assumed.

    leaf_width_mm, leaf_height_mm: one leaf, millimetres. leaf_mass_kg: one leaf, kilograms. hinges:
    how many hinges each leaf should have. sign: set only if the sign differs from the usual one.
    closer_size: power size by EN 1154, 1 to 7. hinge_grade: by EN 1935, 1 to 14. seal_width_mm: of
    one strip. evidence: the door's own test evidence or its maker's instructions, by name; what it
    allows: gap_sides_least_mm, gap_sides_most_mm, gap_meeting_most_mm, gap_threshold_most_mm,
    evidence_seals. It prevails over every rule set, provided that the document is named. frame:
    what the frame is made of. screens: fixed glass in the same frame. back_check: whether the
    closer has a back-check. hinge_height_mm: of one hinge. first_side: name of the face at which a
    check begins. alarm_release: day of the last alarm test at which the door was seen to release.
    remarks: anything in a door schedule that no field holds.
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
        """Reject numbers as dates: pydantic would read one as seconds."""
        if given is None or isinstance(given, str | date):
            return given
        raise ValueError("write a day, such as 2026-03-31")

    @property
    def faces(self) -> tuple[str, str]:
        """Names of its two faces, starting with the one at which a check begins."""
        if self.first_side not in OTHER_SIDE:
            return UNNAMED_FACES
        return str(self.first_side), str(OTHER_SIDE[self.first_side])

    @property
    def kept_locked(self) -> bool | None:
        """Whether the register says it has no closer because it is kept locked shut; None if the
        closer is unknown.
        """
        return None if self.closer is None else self.closer is Closer.KEPT_LOCKED

    @property
    def may_be_kept_locked(self) -> bool:
        """Whether a lock may replace its closer.

        False if the door's use is not known.
        """
        return self.use in _MAY_BE_KEPT_LOCKED

    @property
    def held_by_its_lock(self) -> bool:
        """Whether a lock alone keeps it shut, as permitted."""
        return self.kept_locked is True and self.may_be_kept_locked

    @property
    def never_locked(self) -> bool:
        """Whether it is known to have a use that may not be kept locked."""
        return self.use is not None and not self.may_be_kept_locked

    @property
    def way_out(self) -> bool:
        """Whether it is on an escape route, so that it must never be locked.

        False if not known.
        """
        return self.use in _WAYS_OUT

    @property
    def needs_closer(self) -> bool | None:
        """Every door must be self-closing (common practice; GOV.UK fire door guidance), except
        those that may be kept locked, and are.
        """
        if self.never_locked:
            return True
        if self.kept_locked is None:
            return None
        return None if self.kept_locked and self.use is None else not self.kept_locked

    @property
    def is_held(self) -> bool | None:
        """Whether it may be held open by a device; not asked of a door that needs no closer."""
        if self.hold_open is None:
            return False if self.needs_closer is False else None
        return self.hold_open is not HoldOpen.NONE

    @property
    def let_go_by_alarm(self) -> bool | None:
        """Whether the alarm must release it: held open by a device, or fitted with a free-swing
        closer.
        """
        return True if self.closer is Closer.FREE_SWING else self.is_held

    @property
    def hinged(self) -> bool | None:
        """Whether it hangs on hinges, like the doors judged here."""
        if self.operation is None:
            return None
        return self.operation in (Operation.HINGED, Operation.DOUBLE_ACTION)

    @property
    def has_screens(self) -> bool:
        """Whether it is known to have fixed glass beside or above it."""
        return self.screens is not None and self.screens is not Screens.NONE

    @property
    def undescribed(self) -> bool:
        """Whether the register does not yet say what kind of door it is."""
        return self.material is None and self.glazing is None

    @property
    def pair(self) -> bool:
        """Whether it is known to be a pair; until then nothing is asked about a second leaf."""
        return self.leaves is Leaves.PAIR

    @property
    def document(self) -> str | None:
        """Its own evidence if a document is named; "unknown" and the like name none."""
        return named_document(self.evidence)

    @property
    def has_letter_plate(self) -> bool | None:
        """Whether there is a letter plate to look at; if the register does not say, only a flat
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
        """Whether to look for gaskets or edge seals, where only smoke control requires them."""
        return self.seals is not Seals.NONE or not self.no_smoke

    @property
    def plain_strips(self) -> bool:
        """Whether its seals are known to be plain strips, which resist fire only."""
        return self.seals in (Seals.PLAIN, Seals.PAIR)

    @property
    def no_smoke(self) -> bool:
        """Whether it is known that it need not hold back smoke."""
        return self.holds_smoke is False

    @property
    def sixty_minutes(self) -> bool | None:
        """Whether it is rated for 60 minutes or more."""
        return None if self.rating is None else self.rating.minutes >= 60

    @property
    def holds_smoke(self) -> bool | None:
        return None if self.rating is None else self.rating.smoke

    @property
    def expected_sign(self) -> Sign | None:
        """Sign this door should carry; None if that cannot be determined yet.

        Source: Approved Document B (England), appendix C (from memory); the register's own value
        prevails, except a "keep locked" sign on a door that may not be locked.
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
        """Whether a sign belongs on the near face. None: unknown, so it is asked."""
        return None if self.expected_sign is None else self.expected_sign is not Sign.NONE

    @property
    def sign_beyond(self) -> bool | None:
        """Whether a sign belongs on the far face too: not on a door kept locked, whose sign is on
        the outer face only.
        """
        if self.expected_sign is None:
            return None
        return self.expected_sign not in (Sign.NONE, Sign.KEEP_LOCKED)

    @property
    def where(self) -> str:
        """Its location in words: "ground floor, by the post room"."""
        return ", ".join(part for part in (self.building, self.floor, self.place) if part)
