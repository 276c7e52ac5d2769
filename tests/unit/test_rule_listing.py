"""What `doorround rules` says of a rule, and how limits, faults and questions beyond the checklist
are put in words.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from doorround.config.resources import load_checklist
from doorround.domain.checklist import Checklist
from doorround.domain.judging.custom_rules import read_custom_rules, with_custom_rules
from doorround.domain.judging.formatting import defect_words, limit_words
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule_listing import answer_words, described_rules
from doorround.domain.judging.rule_set import Limit
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.source_history import source_history
from doorround.domain.values import Defect, Unit

CHECKLIST = load_checklist()
NFPA = CHECKLIST.under(SETS["nfpa-80"])


def told(key: str, checklist: Checklist = CHECKLIST) -> dict[str, Any]:
    return next(each for each in described_rules(checklist) if each["key"] == key)


BS_8214 = (
    "BS 8214: 1990, 2008, 2016 (from memory); smoke seals unpainted and five coats on plain strips"
    " from 2008 at least (secondary); 0.5 mm from 2016 (secondary)"
)


def test_a_rule_is_told_whole() -> None:
    assert told("gaps.threshold_too_wide") == {
        "key": "gaps.threshold_too_wide",
        "severity": "act now",
        "from": "watch",
        "says": (
            "The gap at the threshold is no wider than the door's evidence, else the set, allows."
        ),
        "source": (
            "BS 8214:2016, 12.3: at most 3 mm, else a threshold seal (secondary); "
            "BS 8214:2016: as the door's evidence says, often 8 to 10 mm (secondary); "
            "BS 8214:2016, with a threshold seal, as the door's evidence says (secondary)"
        ),
        "limits": [
            (
                "gap.threshold.smoke: at most 3 mm, out of action above 20 mm "
                "[BS 8214:2016, 12.3: at most 3 mm, else a threshold seal (secondary)]"
            ),
            (
                "gap.threshold.plain: at most 10 mm, to watch above 8 mm, out of action above 20 mm"
                " [BS 8214:2016: as the door's evidence says, often 8 to 10 mm (secondary)]"
            ),
            (
                "gap.threshold.sealed: at most 10 mm, to watch above 8 mm, out of action above 20"
                " mm [BS 8214:2016, with a threshold seal, as the door's evidence says (secondary)]"
            ),
        ],
        "questions": [
            "gaps.threshold",
            "gaps.threshold_hinge",
            "gaps.threshold_middle",
            "gaps.threshold_lock",
        ],
        "points": ["2: gaps around the frame, seals and hinges fitted correctly"],
        "example": "rating FD30, gaps.threshold 12 mm → 12 mm, 10 mm allowed",
        "history": [BS_8214],
        "why_not": None,
    }


def test_a_fault_that_is_named_is_told_whole() -> None:
    assert told("mark.unmarked")["points"] == [
        "1: alterations or damage to glazing or air-transfer grilles"
    ]
    assert told("seals.painted", NFPA) == {
        "key": "seals.painted",
        "severity": "soon",
        "from": "watch",
        "says": (
            "Seals: painted over. Paint stops a brush or fin from sealing, and too much of it keeps"
            " a strip from swelling."
        ),
        "source": "NFPA 80, inspection points for swinging doors, point 12 (secondary)",
        "limits": [],
        "questions": ["seals", "seals_second"],
        "points": ["12: gasketing and edge seals present and intact"],
        "example": "answer “painted” → painted over",
        "history": source_history("NFPA 80"),
        "why_not": None,
    }


@pytest.mark.parametrize(
    ("key", "says", "limits"),
    [
        # NFPA 80, 6.3.1.7 (secondary)
        (
            "gaps.too_wide",
            "head or jambs",
            [
                "at most 1/8 in, out of action above 1/4 in",
                "at least 1/16 in, at most",
                "at least 1/16 in, at most",
            ],
        ),
        (
            "gaps.meeting_too_wide",
            "the meeting edges",
            [
                "at most 1/8 in, out of action above 1/4 in",
                "at least 1/16",
                "at least 1/16",
            ],
        ),
    ],
)
def test_limits_are_told_in_the_unit_of_the_set(key: str, says: str, limits: list[str]) -> None:
    rule = told(key, NFPA)
    assert (
        rule["says"]
        == f"The gap at {says} is no wider than the door's evidence, else the set, allows."
    )
    assert all(begins in said for begins, said in zip(limits, rule["limits"], strict=True))


def test_a_rule_that_a_set_does_not_have_says_why() -> None:
    rule = told("sign.missing", NFPA)
    assert rule["severity"] is None
    assert rule["why_not"] == "NFPA 80 has rules for the signs that are there and asks for none"


def test_where_an_organisation_says_how_soon_there_are_no_degrees() -> None:
    strict = with_custom_rules(
        CHECKLIST, read_custom_rules('[severity]\n"closer.time" = "planned"\n', "rules.toml")
    )
    assert (told("closer.time", strict)["severity"], told("closer.time", strict)["from"]) == (
        "planned",
        None,
    )
    assert (told("hinges.too_few", strict)["from"], told("closer.time")["from"]) == (
        "soon",
        "watch",
    )


@pytest.mark.parametrize(
    ("key", "example"),
    [
        ("hinges.too_few", "hinges.count 2 → 2 hinges, 3 expected"),
        ("closer.force", "closer.force_low 35 N → 35 N to open, 30 N allowed"),
        ("register.no_closer", "register.closer none → no closer"),
        ("lock.unlocked", "closer none, kept locked, use riser, lock no → was not locked"),
        ("seals.no_seals", "seals none, rating FD30, seals missing → no seals"),
        (
            "hinges.many_screws_missing",
            "hinges.fixings screw_missing → 3 screws missing on one door",
        ),
        (
            "door.several",
            "frame.here corroded, latch stiff, sign.here wrong → frame: rusty, and 2 more faults",
        ),
        ("gaps.uneven", "gaps.lock_top 1 mm, gaps.lock_bottom 4 mm → lock side gap from 1 to 4 mm"),
        ("closer.time", "closer.seconds 2 s → 2 s from 90°, 3 s at least"),
    ],
)
def test_the_example_of_a_rule_reads_as_door_answers_and_finding(key: str, example: str) -> None:
    assert told(key)["example"] == example


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"kind": "yes_no", "yes": True}, "yes"),
        ({"kind": "yes_no", "yes": False}, "no"),
        (
            {"kind": "condition", "defects": [{"name": "painted"}, {"name": "loose"}]},
            "painted, loose",
        ),
        ({"kind": "condition"}, "sound"),
        ({"kind": "measure", "amount": "1/8", "unit": "in"}, "1/8 in"),
        ({"kind": "count", "number": 3}, "3"),
        ({"kind": "choice", "chosen": "overhead"}, "overhead"),
    ],
)
def test_an_answer_of_an_example_is_told_in_words(given: dict[str, Any], words: str) -> None:
    assert answer_words(given) == words


# ---- Limits and faults in words


@pytest.mark.parametrize(
    ("unit", "shown", "words"),
    [
        (
            Unit.INCH,
            Unit.INCH,
            "at least 1/16 in, at most 3/16 in, to watch above 1/8 in, out of action above 3/8 in",
        ),
        (
            Unit.INCH,
            Unit.MM,
            (
                "at least 1.59 mm, at most 4.76 mm, to watch above 3.18 mm, out of action above"
                " 9.53 mm"
            ),
        ),
        (
            Unit.NEWTON,
            Unit.INCH,
            "at least 0.06 N, at most 0.19 N, to watch above 0.13 N, out of action above 0.38 N",
        ),
    ],
)
def test_a_limit_is_told_edge_by_edge(unit: Unit, shown: Unit, words: str) -> None:
    limit = Limit(
        unit=unit,
        source="x",
        least=Fraction(1, 16),
        most=Fraction(3, 16),
        watch=Fraction(1, 8),
        grave=Fraction(3, 8),
    )
    assert limit_words(limit, shown) == words


def test_a_limit_without_an_edge_does_not_name_it_and_is_told_in_millimetres() -> None:
    assert limit_words(Limit(unit=Unit.INCH, source="x", most=Fraction(3, 4))) == "at most 19.05 mm"


def test_a_fault_is_told_with_its_count_its_place_and_its_face() -> None:
    fault = Defect(name="screw_loose", count=3, where="top hinge", face="other side")
    assert defect_words("screw loose", fault) == "3 screws loose, top hinge, other side"


# ---- Questions beyond the checklist


def test_what_may_be_measured_beyond_the_checklist() -> None:
    assert {key: (each.component, each.unit, each.ask) for key, each in EXTRAS.items()} == {
        "gaps.head_hinge": ("gaps", "mm", "Gap, head, hinge?"),
        "gaps.head_middle": ("gaps", "mm", "Gap, head, middle?"),
        "gaps.head_lock": ("gaps", "mm", "Gap, head, lock?"),
        "gaps.hinge_top": ("gaps", "mm", "Gap, hinge, top?"),
        "gaps.hinge_middle": ("gaps", "mm", "Gap, hinge, middle?"),
        "gaps.hinge_bottom": ("gaps", "mm", "Gap, hinge, bottom?"),
        "gaps.lock_top": ("gaps", "mm", "Gap, lock, top?"),
        "gaps.lock_middle": ("gaps", "mm", "Gap, lock, middle?"),
        "gaps.lock_bottom": ("gaps", "mm", "Gap, lock, bottom?"),
        "gaps.meeting_top": ("gaps", "mm", "Gap, meeting, top?"),
        "gaps.meeting_middle": ("gaps", "mm", "Gap, meeting, middle?"),
        "gaps.meeting_bottom": ("gaps", "mm", "Gap, meeting, bottom?"),
        "gaps.threshold_hinge": ("gaps", "mm", "Gap, threshold, hinge?"),
        "gaps.threshold_middle": ("gaps", "mm", "Gap, threshold, middle?"),
        "gaps.threshold_lock": ("gaps", "mm", "Gap, threshold, lock?"),
        "closer.seconds": ("closer", "s", "Seconds from 90 degrees to shut?"),
        "closer.force_low": ("closer", "N", "Newtons to open, up to 30 degrees?"),
        "closer.force_high": ("closer", "N", "Newtons to open, 30 to 60 degrees?"),
    }


def test_each_of_them_is_a_measure_that_need_not_be_taken() -> None:
    says = {"mm": "measure.gap", "s": "measure.seconds_to_shut", "N": "measure.force"}
    for key in EXTRAS:
        question = question_of(key, CHECKLIST)
        assert (question.key, question.kind, question.says) == (
            key,
            "measure",
            says[str(question.unit)],
        )
        assert question.taps[-1] == "not measured"
