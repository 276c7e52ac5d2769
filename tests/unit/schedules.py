"""Door schedules as architects, assessors and caretakers send them, ugly on purpose, and what
somebody who reads them with care takes out of them. All are invented.

Written while the reader was: those of schedules_unseen.py were written after it.
"""

from __future__ import annotations

from schedules_handed_over import COBIE, SECTIONS
from schedules_text import (
    ASSESSOR,
    CARETAKER,
    EUROPEAN,
    FLATS,
    OWN_HEADINGS,
    QUOTED,
    SEMICOLONS,
    UTF_16,
)
from schedules_workbooks import AMERICAN, ARCHITECT, BARE_XML, MERGED_FLOORS, NUMBERS

CASES = [
    CARETAKER,
    SEMICOLONS,
    UTF_16,
    ARCHITECT,
    MERGED_FLOORS,
    AMERICAN,
    NUMBERS,
    ASSESSOR,
    SECTIONS,
    FLATS,
    COBIE,
    QUOTED,
    EUROPEAN,
    OWN_HEADINGS,
    BARE_XML,
]
