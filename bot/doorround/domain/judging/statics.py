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
FROM_TOP_MM = 150.0
FROM_BOTTOM_MM = 225.0


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


# What a closer adds to the mass that hinges are chosen for: trade guides to EN 1935 (secondary)
WITH_CLOSER = 0.20
WITH_BACK_CHECK = 0.75
# From this height in widths a leaf adds nothing for its width: trade guides to EN 1935 (secondary)
SLENDER = 2.0


@dataclass(frozen=True)
class EffectiveMass:
    """The mass by which the grade of hinges is chosen, in kilograms, and how it is made up."""

    leaf_kg: float
    wide_kg: float
    closer_kg: float
    closer: str

    @property
    def total_kg(self) -> float:
        return self.leaf_kg + self.wide_kg + self.closer_kg

    @property
    def words(self) -> str:
        """The sum as it is shown: "45 kg + 20 % for a closer, 9 kg = 54 kg"."""
        parts = [f"{self.leaf_kg:g} kg"]
        if self.wide_kg:
            share = self.wide_kg / self.leaf_kg
            parts.append(f"{share:.0%} for a wide leaf, {self.wide_kg:.4g} kg".replace("%", " %"))
        if self.closer_kg:
            share = self.closer_kg / self.leaf_kg
            parts.append(
                f"{share:.0%} for {self.closer}, {self.closer_kg:.4g} kg".replace("%", " %")
            )
        return f"{' + '.join(parts)} = {self.total_kg:.4g} kg"


def effective_mass(
    leaf_mass_kg: float,
    leaf_width_mm: float | None,
    leaf_height_mm: float | None,
    *,
    closer: bool,
    back_check: bool,
) -> EffectiveMass:
    """What the hinges of a leaf are chosen for under EN 1935.

    A closer adds 20 %, one with a back-check 75 %; a leaf that is higher than twice its width adds
    nothing, a wider one as many hundredths as its height in widths is under two. Each is of the
    mass of the leaf itself. Source: trade guides to EN 1935:2002 (secondary); worked there: 55 kg
    with a back-check, 96.25 kg; 2000 x 1200 mm, 33 %.
    """
    wide = 0.0
    if leaf_width_mm and leaf_height_mm:
        wide = max(0.0, SLENDER - leaf_height_mm / leaf_width_mm)
    share = (WITH_BACK_CHECK if back_check else WITH_CLOSER) if closer else 0.0
    name = "a closer with back-check" if back_check else "a closer"
    return EffectiveMass(leaf_mass_kg, wide * leaf_mass_kg, share * leaf_mass_kg, name)


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
