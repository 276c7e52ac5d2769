"""Three doors and what is heard of them, for the tests of finding a door."""

from __future__ import annotations

from doorround.domain.door import Door

FOURTEEN = Door(number="2.14", floor="second floor", place="stair B")
FORTY = Door(number="2.40", floor="second floor", place="stair B")
OTHER = Door(number="12", place="by the lift")
