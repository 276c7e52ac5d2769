"""What a supervisor might ask about signed checks: each with its numbers, and never where it may
well have been so.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from doorround.domain.judging.plausibility import (
    GivenAnswer,
    PlausibilityQuestion,
    SignedCheck,
    alike_in_a_row,
    both_faces_at_once,
    never_faulty,
    plausibility_questions,
    too_fast,
)

EIGHT = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def later(seconds: float) -> datetime:
    return EIGHT + timedelta(seconds=seconds)


def said(question: str, value: str = "sound", at: float = 0, **more: object) -> GivenAnswer:
    return GivenAnswer(question, value, later(at), **more)  # type: ignore[arg-type]


def check(
    number: int = 1,
    *answers: GivenAnswer,
    door: str = "",
    person: str = "Robin",
    took: float = 300,
    faults: int = 0,
    building: str = "Mill House",
) -> SignedCheck:
    name = door or str(number)
    return SignedCheck(f"c{number}", name, building, person, EIGHT, later(took), answers, faults)


FULL = said("closer.full")
AJAR = said("closer.ajar")


@pytest.mark.parametrize(
    ("answers", "took", "asked"),
    [
        ((FULL, AJAR), 7, False),
        ((FULL, AJAR), 6.9, True),
        ((FULL,), 5, False),
        ((FULL,), 4.9, True),
        ((AJAR,), 1.9, True),
        ((said("closer.full", seen=False),), 1, False),
        ((), 0, False),
    ],
)
def test_a_check_cannot_be_signed_before_its_closing_tests_can_be_done(
    answers: tuple[GivenAnswer, ...], took: float, asked: bool
) -> None:
    assert bool(too_fast(check(1, *answers, took=took))) is asked


def test_what_is_asked_states_its_numbers_and_accuses_nobody() -> None:
    (ask,) = too_fast(check(4, FULL, AJAR, took=4))
    assert ask == PlausibilityQuestion(
        "plausible.too_fast",
        ("c4",),
        "Door 4: signed 4 s after it was begun; its closing tests alone take at least 7 s. "
        "Were they done before, Robin?",
    )


def test_two_faces_tapped_within_a_second_are_asked_about() -> None:
    frame = (said("frame.here", at=10), said("frame.beyond", at=10.9))
    (ask,) = both_faces_at_once(
        check(1, *frame, said("leaf.here", at=20), said("leaf.beyond", at=21))
    )
    assert (
        ask.question
        == "Door 1: both faces of frame were answered within 1 s. Was the other side seen, Robin?"
    )
    assert ask.about == ("c1",)


def test_both_sides_fine_in_one_breath_is_one_answer_and_not_asked_about() -> None:
    breath = {"recording": "ab", "spoken": (1.0, 2.0)}
    assert (
        both_faces_at_once(check(1, said("leaf.here", **breath), said("leaf.beyond", **breath)))
        == []
    )


@pytest.mark.parametrize(("second", "asked"), [(1.9, True), (2.0, False)])
def test_in_one_recording_the_moments_spoken_count(second: float, asked: bool) -> None:
    one = said("leaf.here", recording="ab", spoken=(1.0, 1.4))
    other = said("leaf.beyond", recording="ab", spoken=(second, second + 0.5))
    assert bool(both_faces_at_once(check(1, one, other))) is asked


def test_one_typed_message_that_tells_of_both_faces_is_one_answer_and_two_are_two() -> None:
    one = said("leaf.here", message=7)
    assert both_faces_at_once(check(1, one, said("leaf.beyond", message=7))) == []
    assert both_faces_at_once(check(1, one, said("leaf.beyond", message=9)))
    # of old logbooks it is not known which message an answer came in
    assert both_faces_at_once(check(1, said("leaf.here"), said("leaf.beyond")))


def test_each_part_with_two_faces_is_named() -> None:
    faces = [
        said(f"{part}.{face}")
        for part in ("frame", "leaf", "glass", "sign")
        for face in ("here", "beyond")
    ]
    (ask,) = both_faces_at_once(check(1, *faces))
    assert "both faces of frame, leaf, glass, sign were answered" in ask.question


def test_in_one_recording_without_the_moment_of_one_answer_nothing_is_asked() -> None:
    one = said("leaf.here", recording="ab", spoken=(1.0, 1.4))
    other = said("leaf.beyond", recording="ab")
    assert (
        both_faces_at_once(check(1, one, other)) == both_faces_at_once(check(1, other, one)) == []
    )


def test_a_face_that_was_not_seen_is_not_asked_about() -> None:
    assert both_faces_at_once(check(1, said("glass.here"), said("glass.beyond", seen=False))) == []
    assert both_faces_at_once(check(1, said("glass.here"))) == []


def gaps(number: int, sides: str, person: str, threshold: str = "6 mm") -> SignedCheck:
    return check(
        number, said("gaps.sides", sides), said("gaps.threshold", threshold), person=person
    )


OTHERS = [
    gaps(100 + number, f"{number % 4 + 1} mm", "Kim", f"{number % 5 + 3} mm")
    for number in range(20)
]


def test_five_doors_in_a_row_with_the_very_same_gaps_are_asked_about() -> None:
    (ask,) = alike_in_a_row([*OTHERS, *(gaps(number, "3 mm", "Robin") for number in range(5))])
    assert ask.about == ("c0", "c1", "c2", "c3", "c4")
    # of 190 pairs of Kim's doors none is alike: (0 + 1) / (190 + 1), to the power of 4, in one
    # place
    assert ask.chance == pytest.approx((1 / 191) ** 4)
    assert (
        ask.question
        == "5 doors in a row, 0 to 4, have the very same gaps (3 mm, 6 mm). Of others' doors 1%"
        " measure alike; by chance this comes about 7.5e-10 times. Were they measured, Robin?"
    )
    assert ask.rule == "plausible.alike"


def test_only_pairs_of_different_doors_say_how_often_two_measure_alike() -> None:
    kim = [
        gaps(101, "2 mm", "Kim"),
        gaps(101, "2 mm", "Kim"),
        gaps(102, "2 mm", "Kim"),
        gaps(103, "5 mm", "Kim"),
    ]
    (ask,) = alike_in_a_row([*kim, *(gaps(number, "3 mm", "Robin") for number in range(12))])
    # pairs of different doors: 101 with 102 twice, alike; 101 with 103 twice and 102 with 103, not:
    # (2 + 1) / (5 + 1)
    assert ask.chance == pytest.approx(0.5**11)


def test_only_the_gaps_count_for_a_row_whatever_else_was_found() -> None:
    row = [
        check(
            number,
            said("latch", f"{number}"),
            said("gaps.sides", "3 mm"),
            said("gaps.meeting", "4 mm", seen=False),
        )
        for number in range(5)
    ]
    (ask,) = alike_in_a_row([*OTHERS, *row])
    assert "the very same gaps (3 mm)." in ask.question


def test_the_places_where_a_row_might_have_begun_raise_its_chance() -> None:
    before = [gaps(50 + number, f"{number} mm", "Robin") for number in range(3)]
    (ask,) = alike_in_a_row(
        [*OTHERS, *before, *(gaps(number, "9 mm", "Robin") for number in range(5))]
    )
    assert ask.chance == pytest.approx(4 * (1 / 191) ** 4)


@pytest.mark.parametrize("number", [4, 1])
def test_a_shorter_row_is_not_asked_about(number: int) -> None:
    assert alike_in_a_row([*OTHERS, *(gaps(each, "3 mm", "Robin") for each in range(number))]) == []


def test_a_row_is_not_asked_about_where_others_measure_alike_too_or_nobody_else_does() -> None:
    row = [gaps(number, "3 mm", "Robin") for number in range(6)]
    alike = [gaps(100 + number, "3 mm", "Kim") for number in range(6)]
    assert alike_in_a_row([*alike, *row]) == []
    assert alike_in_a_row(row) == []


def test_the_same_door_again_is_no_row() -> None:
    again = [
        check(number, said("gaps.sides", "3 mm"), said("gaps.threshold", "6 mm"), door="7")
        for number in range(6)
    ]
    assert alike_in_a_row([*OTHERS, *again]) == []


def test_a_row_that_is_broken_begins_anew() -> None:
    row = [gaps(number, "4 mm" if number == 3 else "3 mm", "Robin") for number in range(7)]
    assert alike_in_a_row([*OTHERS, *row]) == []


def history(faultless: int, neighbours: int, faulty: int) -> list[SignedCheck]:
    own = [check(number, door="7") for number in range(faultless)]
    return [
        *own,
        *(
            check(100 + each, door=str(each % 3), faults=int(each < faulty))
            for each in range(neighbours)
        ),
    ]


def test_a_door_never_faulty_while_its_neighbours_are_is_asked_about() -> None:
    (ask,) = never_faulty(history(10, 20, 10))
    assert ask.about == ("7",) and ask.chance == pytest.approx(4 * 0.5**10)
    assert (
        ask.question
        == "Door 7: 10 checks without a fault, where 50% of 20 checks of its neighbours had one; of"
        " 4 doors this comes about 0.0039 times by chance. Is it so good?"
    )


def test_five_checks_of_a_door_are_enough_where_its_neighbours_have_a_fault_each_time() -> None:
    (ask,) = never_faulty(history(5, 20, 20))
    assert (ask.about, ask.chance) == (("7",), 0)


@pytest.mark.parametrize(
    ("faultless", "neighbours", "faulty"),
    [(4, 20, 20), (8, 20, 10), (10, 20, 2), (10, 20, 0), (10, 0, 0)],
    ids=["too few checks", "chance", "few faults", "no faults", "no neighbours"],
)
def test_a_door_is_not_asked_about_without_reason(
    faultless: int, neighbours: int, faulty: int
) -> None:
    assert [
        ask for ask in never_faulty(history(faultless, neighbours, faulty)) if ask.about == ("7",)
    ] == []


def test_doors_of_another_building_are_no_neighbours() -> None:
    far = [
        check(100 + each, door=str(each), faults=1, building="Lantern House") for each in range(20)
    ]
    assert never_faulty([*(check(number, door="7") for number in range(10)), *far]) == []


def test_one_fault_in_its_history_is_enough() -> None:
    checks = history(10, 20, 10)
    assert never_faulty([*checks, check(99, door="7", faults=1)]) == []


def test_everything_is_asked_in_one_list() -> None:
    faces = (said("frame.here"), said("frame.beyond"))
    rules = [
        ask.rule
        for ask in plausibility_questions([check(1, FULL, *faces, took=1), *history(10, 20, 10)])
    ]
    assert rules == ["plausible.too_fast", "plausible.both_faces", "plausible.never_faulty"]
