"""Sums and tables: which closer, which hinges, what a hinge carries, how far a leaf has dropped."""

from __future__ import annotations

import math
from dataclasses import dataclass

# EN 1154:1996+A1:2002, table 1 (secondary): (leaf width at most, mm; mass of the test door at most,
# kg)
CLOSER_SIZES = {
    1: (750, 20),
    2: (850, 40),
    3: (950, 60),
    4: (1100, 80),
    5: (1250, 100),
    6: (1400, 120),
    7: (1600, 160),
}
MIN_SIZE_FOR_FIRE_DOORS = 3
# EN 1935:2002 (secondary): grade → (door mass, kg; test cycles, thousands)
HINGE_GRADES = {
    1: (10, 10),
    2: (20, 10),
    3: (20, 25),
    4: (20, 200),
    5: (40, 10),
    6: (40, 25),
    7: (40, 200),
    8: (60, 10),
    9: (60, 25),
    10: (60, 200),
    11: (80, 200),
    12: (100, 200),
    13: (120, 200),
    14: (160, 200),
}
STANDARD_GRAVITY = 9.80665  # m/s², exact by definition
# How far the outer hinges sit from the ends of the leaf, millimetres: common practice, no source
FROM_TOP_MM, FROM_BOTTOM_MM = 150.0, 225.0


def closer_size(leaf_width_mm: float | None, leaf_mass_kg: float | None) -> int | None:
    """Smallest EN 1154 power size for a leaf, or None where the table ends: then the maker is
    asked.

    The larger of the sizes that width and mass call for; never under 3, the least for a fire door.
    What is None does not count. Source: EN 1154:1996+A1:2002, table 1 (secondary).
    """
    for size, (widest, heaviest) in CLOSER_SIZES.items():
        wide_enough = leaf_width_mm is None or leaf_width_mm <= widest
        strong_enough = leaf_mass_kg is None or leaf_mass_kg <= heaviest
        if wide_enough and strong_enough and size >= MIN_SIZE_FOR_FIRE_DOORS:
            return size
    return None


@dataclass(frozen=True)
class HingeLoad:
    """What the hinges of a leaf hold, newtons. weight: all of them together, downwards. pull: how
    hard the top hinge is pulled out of the frame, and the bottom one pressed in.
    """

    weight: float
    pull: float

    @property
    def words(self) -> str:
        return (
            f"the hinges carry {self.weight:.0f} N together, and the top one is pulled out with"
            f" {self.pull:.0f} N"
        )


def hinge_load(
    leaf_width_mm: float, leaf_height_mm: float, leaf_mass_kg: float
) -> HingeLoad | None:
    """Statics of a leaf at rest; None for a leaf too low for its outer hinges.

    The weight hangs at half the width from the hinges. Its moment is held by the outer two as a
    pair of forces at their distance: pull = weight × (width / 2) / distance.
    """
    distance = leaf_height_mm - FROM_TOP_MM - FROM_BOTTOM_MM
    if distance <= 0:
        return None
    weight = leaf_mass_kg * STANDARD_GRAVITY
    return HingeLoad(weight, weight * (leaf_width_mm / 2) / distance)


@dataclass(frozen=True)
class Drop:
    """A leaf turned in its own plane. angle: degrees, positive where the lock side hangs.
    closing_in: millimetres by which the gap at the top of the lock jamb becomes smaller, where the
    latch is nearest to binding.
    """

    angle: float
    closing_in: float


def dropped_leaf(
    head_gap_hinge_mm: float, head_gap_lock_mm: float, leaf_width_mm: float, leaf_height_mm: float
) -> Drop:
    """How far a leaf has turned, from the gaps at the two ends of its head.

    The head gap grows from the hinge to the lock side by width × tan(angle). A leaf that has turned
    about its lower hinge corner moves its top towards the lock jamb by height × sin(angle).
    """
    angle = math.atan2(head_gap_lock_mm - head_gap_hinge_mm, leaf_width_mm)
    return Drop(math.degrees(angle), leaf_height_mm * math.sin(angle))
