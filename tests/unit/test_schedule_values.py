"""What a cell of a door schedule says, word by word. What the words mean in the trade: common
practice, no source; FD and S: Approved Document B, appendix C; E, EI, EW, S, C: EN 13501-2 (both
from memory).
"""

from __future__ import annotations

from datetime import date

import pytest

from doorround.door_schedules.dates import DateOrder, order_of, read_day_cell
from doorround.door_schedules.measures import read_count, read_length, read_size
from doorround.door_schedules.ratings import NotRated, ReadRating, rating_within, read_rating
from doorround.door_schedules.values import Context, read_cell
from doorround.door_schedules.yes_no import x_means

TODAY = date(2026, 6, 15)


@pytest.mark.parametrize(
    ("text", "rating"),
    [
        *((each, "FD30S") for each in ("FD30S", "FD 30 S", "FD30(S)", "FD30-S", "fd 30s", "FDS30")),
        *((each, "FD30S") for each in ("30S", "FD30 smoke", "FD30S/SC", "FD30S self closing")),
        *((each, "FD30") for each in ("FD30", "F.D.30", "30FR", "30", "30/30", "FD30 no smoke")),
        ("30 min smoke", "30 min S"),
        ("half hour", "30 min"),
        ("½ hr", "30 min"),
        ("1 1/2 hr", "90 min"),
        ("1-1/2 HR", "90 min"),
        ("3/4 HR", "45 min"),
        ("90 MIN", "90 min"),
        ("EI230-C5 Sa", "EI2 30-Sa-C5"),
        ("E30Sa", "E 30-Sa"),
        ("EW 30", "EW 30"),
    ],
)
def test_a_rating_in_whatever_way_it_is_written(text: str, rating: str) -> None:
    found = read_rating(text)
    assert isinstance(found, ReadRating) and found.rating.text == rating and not found.rest


def test_what_is_written_beside_a_rating_is_not_lost() -> None:
    found = read_cell("rating", "notional FD30", "Rating", Context())
    assert found.fields == {"rating": "FD30"} and found.remark == "Rating: notional FD30"


@pytest.mark.parametrize(
    "text", ["FD3O", "44mm", "926", "FD30 / FD30S", "yes", "Class 30", "FD999"]
)
def test_what_is_no_rating_is_a_doubt_and_never_a_rating(text: str) -> None:
    found = read_cell("rating", text, "Rating", Context())
    assert found.fields == {} and found.doubt and found.remark == f"Rating: {text}"


@pytest.mark.parametrize(
    ("text", "rating"),
    [
        ("FD60S single timber doorset, overhead closer", "FD60S"),
        ("Timber doorset, 44 mm, FD 30 (S)", "FD30S"),
        ("FD30 double doorset 926 x 2040", "FD30"),
        ("FD30 doorset 926 x 2040 with smoke seals", None),
        ("FD30S leaf in an FD60S frame", None),
        ("was FD30S", None),
        ("FD30 to be upgraded", None),
        ("timber doorset", None),
    ],
)
def test_a_rating_within_a_description_is_taken_only_where_it_can_mean_nothing_else(
    text: str, rating: str | None
) -> None:
    found = rating_within(text)
    assert (found and found.text) == rating


@pytest.mark.parametrize("text", ["FD30SC", "FD30 SC", "FD30 S/C"])
def test_self_closing_is_not_taken_for_smoke_nor_smoke_for_self_closing(text: str) -> None:
    found = read_cell("rating", text, "Rating", Context())
    assert found.fields == {} and "write FD30S, or FD30" in found.doubt


@pytest.mark.parametrize("text", ["NFR", "none", "Not fire rated", "FD0", "N"])
def test_what_is_no_fire_door_says_so(text: str) -> None:
    assert isinstance(read_rating(text), NotRated)


@pytest.mark.parametrize("text", ["", "-", "N/A", "TBC", "?"])
def test_what_is_not_known_is_not_known(text: str) -> None:
    assert read_rating(text) is None


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("closer", "Overhead closer, size 3", "overhead"),
        ("closer", "N", "none"),
        ("closer", "NO - LOCKED", "none, kept locked"),
        ("hold_open", "Mag, linked to alarm", "alarm-linked"),
        ("seals", "Int. & Smoke", "intumescent with brush or fin"),
        ("seals", "Intumescent only", "plain intumescent"),
        ("use", "Cross corridor", "corridor in constant use"),
        ("use", "Cleaner's cupboard", "cupboard"),
        ("glazing", "GWPP", "wired"),
        ("latch", "push/pull", "none"),
        ("sign", "FDKS", "Fire door keep shut"),
        ("threshold_seal", "y", "fitted"),
    ],
)
def test_words_of_the_trade_are_values_of_the_register(field: str, text: str, value: str) -> None:
    assert read_cell(field, text, field, Context()).fields == {field: value}


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("closer", "Overhead, missing"),
        ("closer", "removed"),
        ("closer", "overhead / floor spring"),
        ("closer", "Type 4B"),
        ("seals", "smoke"),
        ("seals", "not intumescent"),
        ("use", "store off corridor"),
        ("use", "stair lobby or corridor"),
        ("hold_open", "wedge"),
        ("hold_open", "no magnet, wedge"),
        ("hinges", "2 x 4"),
        ("glazing", "6 mm"),
    ],
)
def test_what_could_be_two_things_or_says_that_one_is_gone_is_left_unknown(
    field: str, text: str
) -> None:
    found = read_cell(field, text, "Heading", Context())
    assert found.fields == {} and found.doubt
    assert found.remark == f"Heading: {text}"


@pytest.mark.parametrize("field", ["closer", "hold_open", "glazing", "latch"])
def test_yes_says_that_there_is_one_and_not_which(field: str) -> None:
    found = read_cell(field, "Y", "Heading", Context())
    assert found.fields == {} and not found.doubt and found.remark == "Heading: Y"


def test_an_x_is_a_yes_alone_a_no_beside_ticks_and_a_doubt_beside_no() -> None:
    assert x_means(["x", "", "x"]) is True
    assert x_means(["x", "✓"]) is False
    assert x_means(["x", "n"]) is None
    assert read_cell("threshold_seal", "x", "Seal", Context(x=None)).doubt


@pytest.mark.parametrize(
    ("text", "mm"),
    [("926", 926), ("0.926", 926), ("92.6 cm", 926), ("3'-0\"", 914.4), ('35 3/4"', 908)],
)
def test_a_length_in_whatever_unit(text: str, mm: float) -> None:
    assert read_length(text, None, 201, 3000) == pytest.approx(mm, abs=0.1)


def test_sizes_and_counts() -> None:
    assert read_size("926 x 2040 x 44", None) == (926, 2040, False)
    assert read_size("2 x 826 x 2040", None) == (826, 2040, True)
    assert read_size("2040 x 926", None) == (926, 2040, False)
    assert [read_count(each, 8) for each in ("3", "3 no.", "1.5 pair", "1½ pr")] == [3, 3, 3, 3]


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-05-11", "2026-05-11"),
        ("11/05/2026", "2026-05-11"),
        ("11.5.26", "2026-05-11"),
        ("11 May 2026", "2026-05-11"),
        ("Mon 11/05/2026", "2026-05-11"),
        ("3rd March 2026", "2026-03-03"),
        ("May 11, 2026", "2026-05-11"),
        ("46153", "2026-05-11"),
        ("2026-04-30T10:15:00Z", "2026-04-30"),
        ("May 2026", "2026-05-01"),
        ("never", None),
    ],
)
def test_a_day_in_whatever_way_it_is_written(text: str, day: str | None) -> None:
    found = read_day_cell(text, DateOrder.DAY_FIRST, TODAY).day
    assert (found and found.isoformat()) == day


@pytest.mark.parametrize(
    "text", ["31/02/2026", "32/13/2026", "last year", "2027-01-01", "1/1/1899"]
)
def test_what_is_no_day_that_can_have_been_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a date|to come|is before"):
        read_day_cell(text, DateOrder.DAY_FIRST, TODAY)


def test_a_column_shows_in_which_order_its_days_are_written() -> None:
    assert order_of(["4/13/2026", "4/2/2026"]) == (DateOrder.MONTH_FIRST, True)
    assert order_of(["13/4/2026", "2/4/2026", "32/13/2026"]) == (DateOrder.DAY_FIRST, True)
    assert order_of(["11/5/2026"]) == (DateOrder.DAY_FIRST, False)
    assert order_of(["13/4/2026", "4/13/2026"])[0] is DateOrder.MIXED
    with pytest.raises(ValueError, match="may be two days"):
        read_day_cell("4/5/2026", DateOrder.MIXED, TODAY)
