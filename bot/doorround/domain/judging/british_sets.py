"""Rule sets for the United Kingdom. Each limit cites where it is published.

"secondary": read in a published summary, not in the document itself.
"""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.judging.published_points import FACTSHEET
from doorround.domain.judging.rule_set import COMMON, Duty, Limit, RuleSet
from doorround.domain.values import Unit


def _mm(source: str, *, makers: bool = False, **edges: str) -> Limit:
    amounts = {name: Fraction(edge) for name, edge in edges.items()}
    return Limit(unit=Unit.MM, source=source, makers=makers, **amounts)


_STEEL = _mm(
    f"{COMMON}: as for timber, until the maker's data stand in the register; beside it, NFPA 80,"
    " 6.3.1.7, steel: 1.6 to 4.8 mm (secondary)",
    makers=True,
    most="4",
    grave="8",
)
_THRESHOLDS = {
    "gap.threshold.smoke": _mm(
        "BS 8214:2016, 12.3: at most 3 mm, else a threshold seal (secondary)", most="3", grave="20"
    ),
    "gap.threshold.plain": _mm(
        "BS 8214:2016: as the door's evidence says, often 8 to 10 mm (secondary)",
        watch="8",
        most="10",
        grave="20",
    ),
    "gap.threshold.sealed": _mm(
        "BS 8214:2016, with a threshold seal, as the door's evidence says (secondary)",
        watch="8",
        most="10",
        grave="20",
    ),
}
_CLOSING = {
    # how long 90 degrees takes
    "closer.seconds": Limit(
        unit=Unit.SECOND, source=COMMON, least=Fraction(3), watch=Fraction(10), most=Fraction(20)
    ),
}
_FORCES = {
    "force.0_30": Limit(
        unit=Unit.NEWTON,
        most=Fraction(30),
        source="BS 8300, Approved Document M: 30 N from 0° to 30° (secondary)",
        access=True,
    ),
    "force.30_60": Limit(
        unit=Unit.NEWTON,
        most=Fraction("22.5"),
        source="BS 8300, Approved Document M: 22.5 N from 30° to 60° (secondary)",
        access=True,
    ),
}
_GOVUK_4 = "GOV.UK, fire door guidance: never more than 4 mm (secondary)"
_BS_8214 = "BS 8214:2016: 2 to 4 mm (secondary)"
_REGULATION_10 = "Fire Safety (England) Regulations 2022, regulation 10 (secondary)"
_DUTIES_FLATS = (
    Duty(
        words="Fire doors of the common parts, where the top storey is more than 11 m above ground:"
        " checked at least every 3 months",
        source=_REGULATION_10,
    ),
    Duty(
        words="Flat entrance doors there: best endeavours to check them at least every 12 months;"
        " attempts are recorded, access refused included",
        source=_REGULATION_10,
    ),
    Duty(
        words="By the responsible person, or whom they send; a simple check needs no specialist",
        source="GOV.UK, fire door guidance (secondary)",
    ),
    Duty(
        words="Residents of every block with two or more homes and common parts are told, when they"
        " move in and every 12 months: keep fire doors shut when not in use, do not tamper with"
        " self-closers, report faults and damage at once",
        source=_REGULATION_10,
    ),
    Duty(
        words="Below 11 m the general duty stands: fire doors in working order and good repair",
        source="Regulatory Reform (Fire Safety) Order 2005, article 17 (secondary)",
    ),
)
_DUTIES_PREMISES = (
    Duty(
        words="Fire doors are under a suitable system of maintenance, in working order and good"
        " repair; the law names no interval",
        source="Regulatory Reform (Fire Safety) Order 2005, article 17 (secondary); Scotland: Fire"
        " Safety (Scotland) Regulations 2006; Northern Ireland: Fire Safety Regulations (Northern"
        " Ireland) 2010 (from memory)",
    ),
    Duty(
        words="Inspected about every six months; heavily used doors more often",
        source="BS 9999:2017, annex I (from memory); heavily used: common practice, no source",
    ),
    Duty(
        words="By a competent person whom the responsible person appoints",
        source="Regulatory Reform (Fire Safety) Order 2005, article 18 (from memory)",
    ),
    Duty(
        words="Employees, not residents, are told of the precautions in their building",
        source="Regulatory Reform (Fire Safety) Order 2005, article 19 (from memory)",
    ),
)


def _set(key: str, title: str, gaps: str, duties: tuple[Duty, ...]) -> RuleSet:
    timber = _mm(gaps, least="2", most="4", grave="8")
    return RuleSet(
        key=key,
        title=title,
        limits={
            "gap.side.timber": timber,
            "gap.side.steel": _STEEL,
            "gap.meeting.timber": timber,
            "gap.meeting.steel": _STEEL,
            **_THRESHOLDS,
            **_CLOSING,
            **_FORCES,
        },
        without={
            "closer.wanted": "NFPA 80 wants it; here a lock may stand in its place",
            "latch.wanted": "NFPA 80 wants it; here the door's evidence says whether it latches",
            "hinges.too_small": "NFPA 80 has the size; here EN 1935 has the grade",
        },
        points=FACTSHEET,
        duties=duties,
    )


ENGLAND_FLATS = _set(
    "england-flats", "England, blocks of flats", f"{_GOVUK_4}; {_BS_8214}", _DUTIES_FLATS
)
UK_PREMISES = _set(
    "uk-premises",
    "United Kingdom, workplaces and other premises",
    f"{_BS_8214}; {_GOVUK_4}",
    _DUTIES_PREMISES,
)
