"""The sets of rules that come with the program. Each limit names where it is published.

"secondary": read in a published summary of the document, not in the document itself.
"""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.judging.published_points import FACTSHEET, NFPA_80
from doorround.domain.judging.rule_set import COMMON, Limit, RuleSet
from doorround.domain.values import Unit

NFPA_TITLE = "NFPA 80, annual inspection of swinging doors with builders hardware"


def _mm(source: str, **edges: str) -> Limit:
    return Limit(
        unit=Unit.MM, source=source, **{name: Fraction(edge) for name, edge in edges.items()}
    )


def _inch(source: str, **edges: str) -> Limit:
    return Limit(
        unit=Unit.INCH, source=source, **{name: Fraction(edge) for name, edge in edges.items()}
    )


_STEEL = _inch(
    "NFPA 80, 6.3.1.7, steel: 1/8 in ± 1/16 in (secondary)", least="1/16", most="3/16", grave="3/8"
)  # 1.6 to 4.8 mm
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
    # how long 90 degrees take
    "closer.seconds": Limit(
        unit=Unit.SECOND, source=COMMON, least=Fraction(3), watch=Fraction(10), most=Fraction(20)
    ),
}
_FORCES = {
    "force.0_30": Limit(
        unit=Unit.NEWTON,
        most=Fraction(30),
        source="BS 8300, Approved Document M: 30 N from 0° to 30° (secondary)",
    ),
    "force.30_60": Limit(
        unit=Unit.NEWTON,
        most=Fraction("22.5"),
        source="BS 8300, Approved Document M: 22.5 N from 30° to 60° (secondary)",
    ),
}
_GOVUK_4 = "GOV.UK, fire door guidance: never more than 4 mm (secondary)"
_BS_8214 = "BS 8214:2016: 2 to 4 mm (secondary)"

ENGLAND_FLATS = RuleSet(
    key="england-flats",
    title="England, blocks of flats",
    limits={
        "gap.side.timber": _mm(f"{_GOVUK_4}; {_BS_8214}", least="2", most="4", grave="8"),
        "gap.side.steel": _STEEL,
        "gap.meeting.timber": _mm(f"{_GOVUK_4}; {_BS_8214}", least="2", most="4", grave="8"),
        "gap.meeting.steel": _STEEL,
        **_THRESHOLDS,
        **_CLOSING,
        **_FORCES,
    },
    points=FACTSHEET,
)

UK_PREMISES = RuleSet(
    key="uk-premises",
    title="United Kingdom, workplaces and other premises",
    limits={
        "gap.side.timber": _mm(f"{_BS_8214}; {_GOVUK_4}", least="2", most="4", grave="8"),
        "gap.side.steel": _STEEL,
        "gap.meeting.timber": _mm(f"{_BS_8214}; {_GOVUK_4}", least="2", most="4", grave="8"),
        "gap.meeting.steel": _STEEL,
        **_THRESHOLDS,
        **_CLOSING,
        **_FORCES,
    },
    points=FACTSHEET,
)

_WOOD = _inch("NFPA 80, 6.3.1.7, wood: at most 1/8 in (secondary)", most="1/8", grave="1/4")
_UNDER = _inch("NFPA 80, 4.8.4: at most 3/4 in under the door (secondary)", most="3/4", grave="3/2")

NFPA_80_ANNUAL = RuleSet(
    key="nfpa-80",
    title=NFPA_TITLE,
    unit=Unit.INCH,
    limits={
        "gap.side.timber": _WOOD,
        "gap.side.steel": _STEEL,
        "gap.meeting.timber": _WOOD,
        "gap.meeting.steel": _STEEL,
        "gap.threshold.smoke": _UNDER,
        "gap.threshold.plain": _UNDER,
        "gap.threshold.sealed": _UNDER,
        **_CLOSING,
    },
    without={
        "sign.missing": "NFPA 80 has rules for the signs that are there and asks for none",
        "sign.wrong": "NFPA 80 has rules for the signs that are there and asks for none",
        "seals.one_strip": "British trade data sheets; the listing decides",
    },
    points=NFPA_80,
)

SETS = {each.key: each for each in (ENGLAND_FLATS, UK_PREMISES, NFPA_80_ANNUAL)}
DEFAULT = UK_PREMISES
