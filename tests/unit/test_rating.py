"""Fire ratings as door schedules write them.

FD and S: Approved Document B, appendix C (from memory). E, EI, EW, S, C: EN 13501-2 (from memory).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some
from pydantic import ValidationError

from doorround.domain.door import Door
from doorround.domain.rating import FireRating, RatingSystem


@pytest.mark.parametrize(
    ("written", "text", "minutes", "smoke", "system"),
    [
        ("FD30", "FD30", 30, False, RatingSystem.FD),
        ("FD30S", "FD30S", 30, True, RatingSystem.FD),
        ("fd60s", "FD60S", 60, True, RatingSystem.FD),
        ("FD 60", "FD60", 60, False, RatingSystem.FD),
        (" FD120 S ", "FD120S", 120, True, RatingSystem.FD),
        ("E 30", "E 30", 30, False, RatingSystem.EN),
        ("EI30", "EI 30", 30, False, RatingSystem.EN),
        ("EI2 60-Sa C5", "EI2 60-Sa-C5", 60, True, RatingSystem.EN),
        ("EI1 90 - Sm", "EI1 90-Sm", 90, True, RatingSystem.EN),
        ("EI2 30-S200 C", "EI2 30-S200-C", 30, True, RatingSystem.EN),
        ("ei2 30-C5", "EI2 30-C5", 30, False, RatingSystem.EN),
        ("EW 60", "EW 60", 60, False, RatingSystem.EN),
        ("45 min", "45 min", 45, False, RatingSystem.MINUTES),
        ("20 minutes", "20 min", 20, False, RatingSystem.MINUTES),
        ("90", "90 min", 90, False, RatingSystem.MINUTES),
        ("45 min S", "45 min S", 45, True, RatingSystem.MINUTES),
    ],
)
def test_a_rating_is_read_and_written_as_usual(
    written: str, text: str, minutes: int, smoke: bool, system: RatingSystem
) -> None:
    rating = FireRating.model_validate(written)
    assert (str(rating), rating.minutes, rating.smoke, rating.system) == (
        text,
        minutes,
        smoke,
        system,
    )


@pytest.mark.parametrize(
    "wrong",
    [
        "",
        "FD3O",
        "FD",
        "30S30",
        "FD30SS",
        "FD-30",
        "F30",
        "thirty",
        "FD5",
        "FD300",
        "EI3 30",
        "E30 X",
        "999 min",
    ],
)
def test_what_is_no_rating_is_refused_with_what_to_write(wrong: str) -> None:
    with pytest.raises(ValidationError, match=r"is not a fire rating\. Use FD30, FD30S, FD60"):
        FireRating.model_validate(wrong)


def test_an_s_is_smoke_control_and_a_c_is_not() -> None:
    assert FireRating.model_validate("FD30S").smoke
    assert not FireRating.model_validate("EI2 30-C5").smoke


@given(
    some.integers(10, 240),
    some.booleans(),
    some.sampled_from(["FD{m}{s}", "{m} min{sp}", "EI2 {m}{sa}"]),
)
def test_a_rating_read_back_from_its_own_text_is_the_same(
    minutes: int, smoke: bool, form: str
) -> None:
    marks = {"s": "S", "sp": " S", "sa": "-Sa"} if smoke else {"s": "", "sp": "", "sa": ""}
    rating = FireRating.model_validate(form.format(m=minutes, **marks))
    assert (rating.minutes, rating.smoke) == (minutes, smoke)
    assert FireRating.model_validate(rating.text) == rating


def test_a_rating_survives_the_register() -> None:
    door = Door(number="1", rating="EI2 60-Sa C5")  # type: ignore[arg-type]
    assert Door.model_validate(door.model_dump(mode="json")) == door
    assert Door.model_validate_json(door.model_dump_json()) == door
