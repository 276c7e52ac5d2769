"""The doors and people of an invented estate. Deterministic for a given seed. Pure."""

from __future__ import annotations

from random import Random

from doorround.domain.door import Door, Use

SITE = "Sample estate (invented)"
BUILDINGS = ("Mill (sample)", "Granary (sample)", "Weir House (sample)", "Kiln (sample)")
CARETAKERS = ("Sample Ines", "Sample Sam", "Sample Kim")
HASTY = CARETAKERS[2]
"""Finds no faults: a planted pattern."""
SUPERVISOR = "Sample Mona"
CONTRACTOR = "Sample Joiner"
FLOORS = ("basement", "ground floor", "first floor", "second floor", "third floor")
DOORS_A_FLOOR = 12

# Percentage of doors by use, and their locations: invented.
_USES = (
    (Use.CORRIDOR, 8, ("corridor by the lift", "corridor, east end", "corridor, west end")),
    (Use.STAIR, 18, ("stair A", "stair B", "stair C")),
    (Use.LOBBY, 14, ("lift lobby", "stair lobby", "entrance lobby")),
    (Use.FLAT_ENTRANCE, 20, ("flat {n}",)),
    (Use.CUPBOARD, 10, ("meter cupboard", "cleaner's cupboard", "linen cupboard")),
    (Use.RISER, 8, ("electrical riser", "wet riser")),
    (Use.PLANT_ROOM, 6, ("boiler room", "tank room", "lift motor room")),
    (Use.STORE, 8, ("bin store", "cycle store", "furniture store")),
    (Use.OFFICE, 5, ("manager's office", "post room")),
    (Use.KITCHEN, 3, ("common kitchen",)),
)
_LOCKED = (Use.CUPBOARD, Use.RISER)


def sample_doors(count: int, dice: Random) -> list[Door]:
    """So many doors, floor by floor, in as few buildings as hold them."""
    a_building = len(FLOORS) * DOORS_A_FLOOR
    found = []
    for nth in range(count):
        building, in_building = divmod(nth, a_building)
        floor, on_floor = divmod(in_building, DOORS_A_FLOOR)
        name = BUILDINGS[building % len(BUILDINGS)]
        wing = "" if building < len(BUILDINGS) else f" {building // len(BUILDINGS) + 1}"
        number = f"{building + 1}.{floor}{on_floor + 1:02d}"
        found.append(_door(number, f"{name}{wing}", FLOORS[floor], nth, dice))
    return found


def _door(number: str, building: str, floor: str, nth: int, dice: Random) -> Door:
    use, _, places = dice.choices(_USES, [share for _, share, _ in _USES])[0]
    pair = use in (Use.CORRIDOR, Use.LOBBY) and dice.random() < 0.4
    sixty = use in (Use.PLANT_ROOM, Use.RISER) or dice.random() < 0.1
    glazed = use in (Use.CORRIDOR, Use.STAIR, Use.LOBBY, Use.KITCHEN) and dice.random() < 0.7
    held = use in (Use.CORRIDOR, Use.LOBBY) and dice.random() < 0.5
    locked = use in _LOCKED
    wide = dice.choice((826, 926))
    return Door.model_validate(
        {
            "number": number,
            "site": SITE,
            "building": building,
            "floor": floor,
            "place": dice.choice(places).format(n=nth + 1),
            "use": use,
            "rating": f"FD{60 if sixty else 30}{'' if locked else 'S'}",
            "leaves": "pair" if pair else "one",
            "leaf_width_mm": wide,
            "leaf_height_mm": 2040,
            "leaf_mass_kg": 60 if sixty else 45,
            "material": "timber",
            "glazing": dice.choice(("wired", "clear fire-resisting")) if glazed else "none",
            "seals": "plain intumescent" if locked else "intumescent with brush or fin",
            "seals_in": dice.choice(("leaf", "frame")),
            "seal_width_mm": 20 if sixty else 15,
            "hinges": 3,
            "closer": "none, kept locked" if locked else dice.choice(("overhead", "concealed")),
            "hold_open": "alarm-linked" if held else "none",
            "latch": "lock" if locked else dice.choice(("none", "latch")),
            "threshold_seal": "none",
            "letter_plate": "fitted" if use is Use.FLAT_ENTRANCE else "none",
            "remarks": "Sample data: this door does not exist.",
        }
    )
