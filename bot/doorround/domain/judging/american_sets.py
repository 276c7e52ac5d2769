"""Rule sets for NFPA 80, one per edition, with the ADA Standards' and IBC's requirements for use.

"secondary": read in a published summary, not in the document itself. Editions from 2016 have one
clearance that earlier ones lack: 20-minute wood doors in steel frames. For 2022 and 2025 we know of
no difference in what is judged here (from memory, not read).
"""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.judging.published_points import NFPA_80
from doorround.domain.judging.rule_set import Duty, HingesByHeight, Limit, RuleSet
from doorround.domain.judging.severity import Targets
from doorround.domain.values import MM_PER_INCH, Unit

FAMILY = "nfpa-80"
DEFAULT_EDITION = "2022"
EDITIONS = ("2013", "2016", "2019", "2022", "2025")
FIRST_WITH_TWENTY_MINUTES = "2016"


# Limits in millimetres as they are published beside the inches: 1.6 to 4.8 mm, 3.2 mm (secondary)
def _inch(source: str, most_mm: str | None = None, **edges: str) -> Limit:
    return Limit(
        unit=Unit.INCH,
        source=source,
        most_mm=None if most_mm is None else Fraction(most_mm),
        **{name: Fraction(edge) for name, edge in edges.items()},
    )


def _clearances(edition: str) -> dict[str, Limit]:
    wood = _inch(
        f"NFPA 80-{edition}, 6.3.1.7, wood: at most 1/8 in (secondary)",
        most="1/8",
        most_mm="3.2",
        grave="1/4",
    )
    steel = _inch(
        f"NFPA 80-{edition}, 6.3.1.7, steel: 1/8 in ± 1/16 in (secondary)",
        least="1/16",
        most="3/16",
        most_mm="4.8",
        grave="3/8",
    )
    twenty = _inch(
        f"NFPA 80-{edition}, 6.3.1.7, 20-minute wood in hollow-metal frames, from the 2016 edition:"
        " 1/8 in ± 1/16 in (secondary)",
        least="1/16",
        most="3/16",
        most_mm="4.8",
        grave="3/8",
    )
    under = _inch(
        f"NFPA 80-{edition}, 4.8.4: at most 3/4 in under the door (secondary)",
        most="3/4",
        grave="3/2",
    )
    has_twenty = edition >= FIRST_WITH_TWENTY_MINUTES
    return {
        "gap.side.timber": wood,
        "gap.side.steel": steel,
        "gap.meeting.timber": wood,
        "gap.meeting.steel": steel,
        **({"gap.side.twenty": twenty, "gap.meeting.twenty": twenty} if has_twenty else {}),
        "gap.threshold.smoke": under,
        "gap.threshold.plain": under,
        "gap.threshold.sealed": under,
    }


_FORCE_SOURCE = (
    "(secondary); 5 lbf at interior hinged doors that are no fire doors, fire doors the least that"
    " the authority allows: ADA Standards 2010, 404.2.9 (secondary)"
)
_USE = {
    "closer.seconds": Limit(
        unit=Unit.SECOND,
        least=Fraction(5),
        source="ADA Standards 2010, 404.2.8.1: 5 s at least from 90° to 12° from the latch"
        " (secondary)",
        access=True,
    ),
    "force.0_30": Limit(
        unit=Unit.POUND_FORCE,
        most=Fraction(30),
        source=f"IBC: 30 lbf to set the door in motion {_FORCE_SOURCE}",
        access=True,
    ),
    "force.30_60": Limit(
        unit=Unit.POUND_FORCE,
        most=Fraction(15),
        source=f"IBC: 15 lbf to swing the door {_FORCE_SOURCE}",
        access=True,
    ),
}
_NO_SIGN = "NFPA 80 has rules for the signs that are there and asks for none"
_DUTIES = (
    Duty(
        words="Fire door assemblies are inspected and tested at least once a year",
        source="NFPA 80, section 5.2 (secondary)",
    ),
    Duty(
        words="By somebody who knows the operating parts of the door, from both sides",
        source="NFPA 80, 5.2.3 (from memory)",
    ),
    Duty(
        words="Defects that may interfere with the door are corrected without delay",
        source="NFPA 80, 5.1.5 (from memory)",
    ),
    Duty(
        words="A signed record is kept for the authority, three years at least",
        source="NFPA 80, 5.2.2 (from memory)",
    ),
)


def _edition(edition: str, key: str) -> RuleSet:
    return RuleSet(
        key=key,
        title=f"NFPA 80-{edition}, annual inspection of swinging doors with builders hardware",
        family=FAMILY,
        edition=edition,
        without_delay=True,
        unit=Unit.INCH,
        limits={**_clearances(edition), **_USE},
        without={
            "sign.missing": _NO_SIGN,
            "sign.wrong": _NO_SIGN,
            "seals.one_strip": "British trade data sheets; the listing decides",
            "closer.too_small": "EN 1154 is a European standard",
            "hinges.too_weak": "EN 1935 is a European standard",
            "hold_open.acoustic": "BS 7273-4 is a British standard",
        },
        points=NFPA_80,
        targets=Targets(act_now=0, soon=0, planned=0, watch=0),
        duties=_DUTIES,
        hinges=HingesByHeight(
            two_up_to_mm=60 * MM_PER_INCH,
            more_each_mm=30 * MM_PER_INCH,
            source="NFPA 80, 6.4.3: two hinges up to 60 in, one more for each further 30 in"
            " (secondary)",
        ),
    )


NFPA_80_ANNUAL = _edition(DEFAULT_EDITION, FAMILY)
EDITION_SETS = tuple(_edition(edition, f"{FAMILY}-{edition}") for edition in EDITIONS)
