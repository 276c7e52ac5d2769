"""Calculations and tables: closer size, hinge grade, hinge forces, leaf drop."""

from __future__ import annotations

import math
from dataclasses import dataclass

# EN 1154:1996+A1:2002, table 1 (secondary): (maximum leaf width, mm; maximum test door mass, kg)
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
# Distance of the outer hinges from the ends of the leaf, millimetres: common practice, no source
FROM_TOP_MM = 150.0
FROM_BOTTOM_MM = 225.0


def closer_size(leaf_width_mm: float | None, leaf_mass_kg: float | None) -> int | None:
    """Smallest EN 1154 power size for a leaf, or None where the table ends: ask the manufacturer.

    The larger of the sizes that width and mass call for; never under 3, the minimum for a fire
    door. An argument of None is ignored. Source: EN 1154:1996+A1:2002, table 1 (secondary).
    """
    for size, (widest, heaviest) in CLOSER_SIZES.items():
        wide_enough = leaf_width_mm is None or leaf_width_mm <= widest
        strong_enough = leaf_mass_kg is None or leaf_mass_kg <= heaviest
        if wide_enough and strong_enough and size >= MIN_SIZE_FOR_FIRE_DOORS:
            return size
    return None


# What a closer adds to the mass used for choosing hinges: trade guides to EN 1935 (secondary)
WITH_CLOSER = 0.20
WITH_BACK_CHECK = 0.75
# From this height-to-width ratio, no addition for width: trade guides to EN 1935 (secondary)
SLENDER = 2.0


@dataclass(frozen=True)
class EffectiveMass:
    """The mass used to choose the hinge grade, in kilograms, with its breakdown."""

    leaf_kg: float
    wide_kg: float
    closer_kg: float
    closer: str

    @property
    def total_kg(self) -> float:
        return self.leaf_kg + self.wide_kg + self.closer_kg

    @property
    def words(self) -> str:
        """The calculation as shown: "45 kg + 20 % for a closer, 9 kg = 54 kg"."""
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
    """The mass used for choosing a leaf's hinges under EN 1935.

    A closer adds 20 %, one with a back-check 75 %; a leaf taller than twice its width adds nothing,
    a wider one as many hundredths as its height-to-width ratio is under two. Each is relative to
    the mass of the leaf itself. Source: trade guides to EN 1935:2002 (secondary); worked there: 55
    kg with a back-check, 96.25 kg; 2000 x 1200 mm, 33 %.
    """
    wide = 0.0
    if leaf_width_mm and leaf_height_mm:
        wide = max(0.0, SLENDER - leaf_height_mm / leaf_width_mm)
    share = (WITH_BACK_CHECK if back_check else WITH_CLOSER) if closer else 0.0
    name = "a closer with back-check" if back_check else "a closer"
    return EffectiveMass(leaf_mass_kg, wide * leaf_mass_kg, share * leaf_mass_kg, name)


@dataclass(frozen=True)
class HingeLoad:
    """Forces on the hinges of a leaf, newtons. weight: total, downwards. pull: horizontal force
    pulling the top hinge out of the frame and pressing the bottom one in.
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

    The weight acts at half the width from the hinges. Its moment is balanced by the outer two as a
    couple at their distance: pull = weight × (width / 2) / distance.
    """
    distance = leaf_height_mm - FROM_TOP_MM - FROM_BOTTOM_MM
    if distance <= 0:
        return None
    weight = leaf_mass_kg * STANDARD_GRAVITY
    return HingeLoad(weight, weight * (leaf_width_mm / 2) / distance)


@dataclass(frozen=True)
class Drop:
    """A leaf rotated in its own plane. angle: degrees, positive if the lock side drops. closing_in:
    millimetres by which the gap at the top of the lock jamb narrows, where the latch is closest to
    binding.
    """

    angle: float
    closing_in: float


def dropped_leaf(
    head_gap_hinge_mm: float, head_gap_lock_mm: float, leaf_width_mm: float, leaf_height_mm: float
) -> Drop:
    """Rotation of a leaf, from the gaps at the two ends of its head.

    The head gap grows from the hinge to the lock side by width × tan(angle). A leaf rotated about
    its lower hinge corner moves its top towards the lock jamb by height × sin(angle).
    """
    angle = math.atan2(head_gap_lock_mm - head_gap_hinge_mm, leaf_width_mm)
    return Drop(math.degrees(angle), leaf_height_mm * math.sin(angle))
