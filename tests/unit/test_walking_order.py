"""Walking order, compared with every possible order, on small cases."""

from itertools import permutations
from random import Random

import pytest

from doorround.domain.door import Door
from doorround.domain.schedule.walking_order import (
    distance,
    length,
    position,
    stairs_of,
    storey,
    walk,
)


def numbers(doors):
    return [door.number for door in walk(doors)]


def far_of(doors):
    points = [(0, 0.0, ""), *map(position, doors)]
    stairs = stairs_of(map(position, doors))
    return [[distance(a, b, stairs) for b in points] for a in points]


def walked_length(doors, order):
    place = {door.number: nth + 1 for nth, door in enumerate(doors)}
    return length([place[door.number] for door in order], far_of(doors))


def some_doors(dice, count):
    floors = ["basement", "ground floor", "first floor", "second floor", "third floor"]
    picked = dice.sample([(floor, along) for floor in floors for along in range(1, 30)], count)
    return [
        Door(
            number=f"{nth}-{along}",
            floor=floor,
            place=dice.choice(["", "stair A", "stair B", "by the lift"]),
        )
        for nth, (floor, along) in enumerate(picked)
    ]


@pytest.mark.parametrize("seed", range(12))
def test_no_order_of_a_few_doors_is_shorter(seed):
    doors = some_doors(Random(seed), 6)
    far = far_of(doors)
    shortest = min(length(order, far) for order in permutations(range(1, len(doors) + 1)))
    assert walked_length(doors, walk(doors)) == pytest.approx(shortest)


@pytest.mark.parametrize("seed", range(6))
def test_more_doors_are_walked_nearly_the_shortest_way(seed, monkeypatch):
    doors = some_doors(Random(seed), 8)
    exact = walked_length(doors, walk(doors))
    monkeypatch.setattr("doorround.domain.schedule.walking_order.EXACT", 0)
    assert exact <= walked_length(doors, walk(doors)) <= 1.25 * exact


def test_every_door_is_walked_once_however_many():
    for count in (0, 1, 7, 40, 140):
        doors = some_doors(Random(3), count)
        assert sorted(numbers(doors)) == sorted(door.number for door in doors)


def test_stairs_are_counted():
    doors = [
        Door(number="301", floor="third floor", place="stair A"),
        Door(number="101", floor="first floor", place="stair A"),
        Door(number="104", floor="first floor"),
    ]
    far = far_of(doors)
    assert far[1][2] == 10.0 and far[2][3] == 3.0
    assert far[1][3] == 13.0, "from floor to floor only by the stair"
    # both doors of the first floor on the same storey's visit: up once
    assert abs(numbers(doors).index("101") - numbers(doors).index("104")) == 1


def test_one_building_is_finished_before_the_next():
    doors = [Door(number=str(n), building="East" if n % 2 else "West") for n in range(1, 9)]
    assert [door.building for door in walk(doors)] == ["East"] * 4 + ["West"] * 4


@pytest.mark.parametrize(
    ("floor", "number"),
    [
        ("ground floor", 0),
        ("third floor", 3),
        ("Level 2", 2),
        ("floor two", 2),
        ("B1", -1),
        ("basement", -1),
        ("11th floor", 11),
        ("lower ground", -1),
        ("", 0),
        ("roof", 0),
    ],
)
def test_a_floor_is_read_as_people_write_it(floor, number):
    assert storey(floor) == number
