"""A door as the register describes it: what is unknown stays unknown, and what follows from what is
known.

Signs: Approved Document B (England), appendix C (from memory). Doors without a closer are kept
locked shut: GOV.UK, fire door guidance (secondary).
"""

from __future__ import annotations

import pytest
from pydantic import ValidationError
from visits import UNKNOWN, door

from doorround.domain.door import Door, Sign


def test_a_door_needs_no_more_than_a_number() -> None:
    known = {name for name, value in UNKNOWN.model_dump().items() if value not in (None, "")}
    assert known == {"number"}


@pytest.mark.parametrize(
    "derived",
    ["kept_locked", "needs_closer", "holds_smoke", "expected_sign", "sign_here", "sign_beyond"],
)
def test_what_follows_from_the_unknown_is_unknown_and_not_false(derived: str) -> None:
    assert getattr(UNKNOWN, derived) is None


@pytest.mark.parametrize(
    ("closer", "kept_locked", "needs_closer"),
    [
        ("overhead", False, True),
        ("concealed", False, True),
        ("floor spring", False, True),
        ("none, kept locked", True, False),
        ("none", False, True),
        (None, None, None),
    ],
)
def test_every_door_that_is_not_kept_locked_needs_a_closer(
    closer: str | None, kept_locked: bool | None, needs_closer: bool | None
) -> None:
    cupboard = door(closer=closer, use="cupboard")
    assert (cupboard.kept_locked, cupboard.needs_closer) == (kept_locked, needs_closer)


@pytest.mark.parametrize(
    ("rating", "smoke"),
    [("FD30", False), ("FD30S", True), ("EI2 60-Sa", True), ("60 min", False), (None, None)],
)
def test_smoke_control_follows_from_the_rating(rating: str | None, smoke: bool | None) -> None:
    assert door(rating=rating).holds_smoke is smoke


@pytest.mark.parametrize(
    ("fields", "sign", "here", "beyond"),
    [
        ({}, Sign.KEEP_SHUT, True, True),
        ({"hold_open": "alarm-linked"}, Sign.KEEP_CLEAR, True, True),
        ({"hold_open": "acoustic"}, Sign.KEEP_CLEAR, True, True),
        ({"closer": "none, kept locked", "use": "cupboard"}, Sign.KEEP_LOCKED, True, False),
        (
            {"closer": "none, kept locked", "use": "riser", "hold_open": None},
            Sign.KEEP_LOCKED,
            True,
            False,
        ),
        ({"closer": "none, kept locked", "use": "stair"}, Sign.KEEP_SHUT, True, True),
        ({"closer": "none, kept locked", "use": None}, None, None, None),
        ({"use": "flat entrance"}, Sign.NONE, False, False),
        ({"use": "flat entrance", "closer": None, "hold_open": None}, Sign.NONE, False, False),
        ({"hold_open": None}, None, None, None),
        ({"closer": None, "use": "cupboard"}, None, None, None),
        ({"closer": None}, Sign.KEEP_SHUT, True, True),
        ({"sign": "Fire door keep locked shut"}, Sign.KEEP_SHUT, True, True),
        (
            {"sign": "Fire door keep locked shut", "use": "plant room"},
            Sign.KEEP_LOCKED,
            True,
            False,
        ),
        ({"sign": "no sign"}, Sign.NONE, False, False),
        ({"sign": "Automatic fire door keep clear"}, Sign.KEEP_CLEAR, True, True),
    ],
)
def test_the_sign_that_a_door_should_carry(
    fields: dict[str, str | None], sign: Sign | None, here: bool | None, beyond: bool | None
) -> None:
    described = door(**fields)
    assert (described.expected_sign, described.sign_here, described.sign_beyond) == (
        sign,
        here,
        beyond,
    )


def test_signs_have_the_words_of_the_approved_document() -> None:
    assert [str(sign) for sign in Sign] == [
        "Fire door keep shut",
        "Fire door keep locked shut",
        "Automatic fire door keep clear",
        "no sign",
    ]


@pytest.mark.parametrize(
    ("field", "impossible"),
    [
        ("leaf_width_mm", 5),
        ("leaf_width_mm", 30_000),
        ("leaf_height_mm", 204),
        ("leaf_mass_kg", 0),
        ("leaf_mass_kg", 4500),
        ("hinges", 0),
        ("hinges", 9),
        ("number", ""),
        ("glazing", "stained"),
        ("rating", "FD3O"),
        ("colour", "red"),
    ],
)
def test_a_door_that_cannot_be_is_refused(field: str, impossible: object) -> None:
    with pytest.raises(ValidationError, match=field):
        Door.model_validate({"number": "12", field: impossible})


def test_a_door_is_said_by_where_it_is() -> None:
    assert door(place="by the lift").where == "Mill House, first floor, by the lift"
    assert UNKNOWN.where == ""


def test_a_door_is_never_changed_in_place() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        door().hinges = 2  # type: ignore[misc]
