"""Seals: the kind required by the rating and the door's own evidence."""

from __future__ import annotations

from doorround.domain.door import Material, Seals
from doorround.domain.findings import Finding
from doorround.domain.judging.gaps import evidence_words
from doorround.domain.judging.rule import COMPETENT, EVIDENCE, Example, JudgedAnswer, Rule
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Condition

GASKETING = "NFPA 80, item 12; NFPA 105 where smoke is to be held (from memory)"
SEAL_SHEETS = "trade data sheets (secondary); the S in FD30S: Approved Document B (from memory)"


def _looked_at(answer: JudgedAnswer) -> Seals | None:
    """The kind of seals fitted, whenever the seals are looked at; None if the evidence itself names
    that kind.
    """
    fitted = answer.door.seals
    own = _tested(answer)
    return None if not isinstance(answer.value, Condition) or fitted == own else fitted


def _tested(answer: JudgedAnswer) -> Seals | None:
    """The seals named by the door's own evidence, if its document is named."""
    return answer.door.evidence_seals if answer.door.document is not None else None


def _wanted_only_for_smoke(answer: JudgedAnswer) -> bool:
    """American doors have gaskets and edge seals only where smoke control or their listing requires
    them.
    """
    return answer.rules.kin == "nfpa-80"


def _other_seals(answer: JudgedAnswer) -> list[Finding]:
    fitted = _looked_at(answer)
    own = _tested(answer)
    if fitted is None or own is None:
        return []
    what = f"{fitted} fitted, {own} tested"
    why = "The seal must be the one that the door's evidence names."
    return answer.finding(
        "seals.not_as_tested", Severity.SOON, what, why, COMPETENT, evidence_words(answer.door)
    )


def _no_seals(answer: JudgedAnswer) -> list[Finding]:
    rating = answer.door.rating
    never_fitted = _looked_at(answer) is Seals.NONE
    if rating is None or (_wanted_only_for_smoke(answer) and not rating.smoke):
        return []
    if answer.door.material is Material.STEEL and not rating.smoke:
        return [_makers_data(answer)] if never_fitted and not _tested(answer) else []
    if not never_fitted or not _said_missing(answer):
        return []
    why = "Without seals the gap stays open in a fire."
    return answer.finding(
        "seals.no_seals",
        Severity.SOON,
        "no seals",
        why,
        "Report it today; a competent person fits what the door's evidence names.",
        answer.cites(SEAL_SHEETS, GASKETING),
    )


def _said_missing(answer: JudgedAnswer) -> bool:
    """Whether they were reported missing; anything else seen contradicts the register."""
    return isinstance(answer.value, Condition) and any(
        each.name == "missing" for each in answer.value.defects
    )


def _makers_data(answer: JudgedAnswer) -> Finding:
    """Steel leaves are tested with and without strips: the manufacturer's test decides."""
    return Finding(
        rule="seals.makers_data",
        question=answer.question.key,
        component=answer.question.component,
        what="no seals: the maker's data decide, and are not known",
        why="Steel leaves are tested with strips and without; what their maker tested decides.",
        do_now="The supervisor asks for the maker's data and puts them into the register.",
        source=COMMON,
    )


def _no_smoke_seal(answer: JudgedAnswer) -> list[Finding]:
    rating = answer.door.rating
    if rating is None or not rating.smoke or _looked_at(answer) not in (Seals.PLAIN, Seals.PAIR):
        return []
    why = f"{rating} must hold smoke: a plain strip resists fire only, a brush or fin also smoke."
    return answer.finding(
        "seals.no_smoke_seal",
        Severity.SOON,
        "no smoke seal",
        why,
        COMPETENT,
        answer.cites(SEAL_SHEETS, GASKETING),
    )


WIDE_STRIP_MM = 20
"""From this width, one strip is enough for a 60-minute door: trade data sheets (secondary)."""


def _one_strip(answer: JudgedAnswer) -> list[Finding]:
    rating = answer.door.rating
    width = answer.door.seal_width_mm
    if width is not None and width >= WIDE_STRIP_MM:
        return []
    if (
        rating is None
        or rating.minutes < 60
        or _looked_at(answer) not in (Seals.PLAIN, Seals.SMOKE)
    ):
        return []
    why = f"{rating} mostly shows two strips side by side, or one of {WIDE_STRIP_MM} mm. {EVIDENCE}"
    what = "one strip only" if width is None else f"one strip of {width:g} mm only"
    return answer.finding("seals.one_strip", Severity.SOON, what, why, COMPETENT, SEAL_SHEETS)


SEAL_RULES = (
    Rule(
        "seals.not_as_tested",
        ("seals",),
        "The seals are those that the door's own evidence names.",
        Severity.SOON,
        _other_seals,
        Example(
            {
                "seals": "plain intumescent",
                "evidence_seals": "two plain strips",
                "evidence": "test report 7",
            },
            {"seals": {"kind": "condition"}},
            "plain intumescent fitted, two plain strips tested",
        ),
        "the door's own evidence",
    ),
    Rule(
        "seals.no_seals",
        ("seals",),
        "A door with a rating has seals.",
        Severity.SOON,
        _no_seals,
        Example(
            {"seals": "none", "rating": "FD30"},
            {"seals": {"kind": "condition", "defects": [{"name": "missing"}]}},
            "no seals",
        ),
        SEAL_SHEETS,
        american=GASKETING,
    ),
    Rule(
        "seals.no_smoke_seal",
        ("seals",),
        "A door that must hold smoke (S) has a brush or fin.",
        Severity.SOON,
        _no_smoke_seal,
        Example(
            {"seals": "plain intumescent", "rating": "FD30S"},
            {"seals": {"kind": "condition"}},
            "no smoke seal",
        ),
        SEAL_SHEETS,
        american=GASKETING,
    ),
    Rule(
        "seals.one_strip",
        ("seals",),
        "A door of 60 minutes and more has two strips or one wide one: 20 × 4 mm, or a pair of 15 ×"
        " 4 mm.",
        Severity.SOON,
        _one_strip,
        Example(
            {"seals": "plain intumescent", "rating": "FD60"},
            {"seals": {"kind": "condition"}},
            "one strip only",
        ),
        SEAL_SHEETS,
    ),
)
