"""How gaps at several places, the width of a seal and a whole door are told: which place, which
number, how many.

Limits: BS 8214:2016, 2 to 4 mm at head and sides (secondary); one strip of 20 mm does for 60
minutes: trade data sheets (secondary). Words: our own.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from judged_doors import faults, judged, mm
from pydantic import ValidationError
from visits import CHECKLIST, CORRIDOR, PAIR, door

from doorround.domain.findings import Verdict
from doorround.domain.gap_points import PLACES
from doorround.domain.judging.gap_places import edges_words
from doorround.domain.judging.judge import judge, unseen, verdict
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import CannotCheck, Choice, Measure, Spot, Unit


def measured(*spots: tuple[str, str, str]) -> Measure:
    found = tuple(
        Spot(edge=edge, place=place, amount=Fraction(amount)) for edge, place, amount in spots
    )
    return Measure(amount=max(spot.amount for spot in found), unit=Unit.MM, spots=found)


def sides(head: str, hinge: str, lock: str) -> Measure:
    given = {"head": head, "hinge": hinge, "lock": lock}
    return measured(
        *(
            (edge, place, each)
            for edge, said in given.items()
            for place, each in zip(PLACES[edge], said.split(), strict=True)
        )
    )


def told(key: str, value: Measure, fire_door=CORRIDOR) -> list[tuple[str, str]]:
    return [
        (each.rule, each.what) for each in judge(fire_door, CHECKLIST.ask(key), value, CHECKLIST)
    ]


def test_of_gaps_too_wide_the_widest_is_named_and_of_gaps_too_narrow_the_narrowest():
    wide = told("gaps.sides", sides("3 5 6", "3 3 3", "3 3 3"))
    assert [what for rule, what in wide if rule.endswith("too_wide")] == [
        "6 mm, 4 mm allowed, head, at the lock side"
    ]
    narrow = told("gaps.sides", sides("3 3 3", "1 1/2 3", "3 3 3"))
    assert len([rule for rule, _ in narrow if rule.endswith("too_narrow")]) == 1
    assert all(
        what.endswith(", hinge side, middle")
        for rule, what in narrow
        if rule.endswith("too_narrow")
    )


def test_the_only_edge_of_a_question_is_not_named():
    spots = tuple(
        ("meeting", place, amount)
        for place, amount in zip(PLACES["meeting"], ("3", "9", "3"), strict=True)
    )
    [what] = [
        what for rule, what in told("gaps.meeting", measured(*spots), PAIR) if "too_wide" in rule
    ]
    assert what.endswith(", middle") and "meeting" not in what


def test_edges_that_nothing_was_said_of_are_told_as_not_seen():
    value = measured(*(("head", place, "3") for place in PLACES["head"]))
    value = (
        value.model_copy(update={"unmeasured": ("hinge", "lock")})
        if not value.unmeasured
        else value
    )
    [left] = judge(CORRIDOR, CHECKLIST.ask("gaps.sides"), value, CHECKLIST)
    assert (left.rule, left.what) == ("gaps.not_seen", "not measured: hinge side and lock side")
    assert left.why == "A part that was not seen is not known to be sound."
    assert left.do_now == "Measure it as soon as it can be reached."
    assert unseen(value, (left,)) and verdict(value, (left,)) is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("edges", "words"),
    [
        (("head",), "head"),
        (("hinge", "lock"), "hinge side and lock side"),
        (("head", "hinge", "lock"), "head, hinge side and lock side"),
    ],
)
def test_edges_in_words(edges, words):
    assert edges_words(edges) == words


@pytest.mark.parametrize(
    ("width", "words"), [(None, "one strip only"), (15, "one strip of 15 mm only"), (20, None)]
)
def test_one_strip_of_twenty_millimetres_does_for_sixty_minutes(width, words):
    fire_door = door(rating="FD60", seals="plain intumescent", seal_width_mm=width)
    found = [each.what for each in judged(fire_door).findings if each.rule == "seals.one_strip"]
    assert found == ([words] if words else [])


def test_a_whole_door_is_told_with_how_many_defects_and_the_gravest():
    one = judged(seals=faults("painted"))
    two = judged(seals=faults("painted"), sign__here=faults("missing"))
    assert "Fit, with 1 defect;" in one.sentence
    assert "Fit, with 2 defects;" in two.sentence
    blind = judged(latch=CannotCheck(reason="locked"))
    assert blind.sentence == "Not shown to be fit: 1 not checked."
    both = judged(latch=CannotCheck(reason="locked"), seals=faults("painted"))
    assert both.sentence.startswith(
        "Not shown to be fit: 1 not checked, and 1 defect, the gravest: "
    )


def test_two_dangers_are_told_one_after_the_other():
    found = judged(clear=faults("wedged"), closer__full=faults("missing"))
    grave = [each for each in found.findings if each.severity is Severity.ACT_NOW]
    assert len(grave) >= 2 and found.sentence.count("; ") == len(grave) - 1


def test_not_known_answers_any_choice_and_no_other_kind_does():
    question = CHECKLIST.ask("register.material")
    assert verdict(Choice(chosen="unknown"), ()) is Verdict.UNKNOWN
    assert judge(CORRIDOR, CHECKLIST.ask("hinges.count"), Choice(chosen="unknown"), CHECKLIST) == ()
    [other] = judge(CORRIDOR, CHECKLIST.ask("hinges.count"), Choice(chosen="timber"), CHECKLIST)
    assert other.what == "not checked: the answer is of another kind"
    assert judge(CORRIDOR, question, Choice(chosen="timber"), CHECKLIST) == ()


def test_a_measure_beyond_the_checklist_asks_for_a_gauge():
    for key in EXTRAS:
        if key.startswith("gaps."):
            question = question_of(key, CHECKLIST)
            assert (question.help, question.example, question.taps) == (
                "Use a gauge.",
                "not measured",
                ("not measured",),
            )
    with pytest.raises(KeyError, match="nowhere"):
        question_of("gaps.nowhere", CHECKLIST)


def test_a_gap_of_one_number_says_no_place():
    assert told("gaps.sides", mm("6")) == [("gaps.too_wide", "6 mm, 4 mm allowed")]


@pytest.mark.parametrize("rules", ["england-flats", "uk-premises"])
@pytest.mark.parametrize("edge", ["gap.side.timber", "gap.meeting.timber"])
def test_limits_of_timber_are_the_published_ones_and_twice_as_wide_is_out_of_action(rules, edge):
    """2 to 4 mm: BS 8214:2016 and GOV.UK guidance (secondary).

    Out of action from 8 mm: our own, common practice.
    """
    limit = SETS[rules].limits[edge]
    assert (limit.least, limit.most, limit.grave) == (2, 4, 8)


def test_under_the_door_nfpa_allows_three_quarters_of_an_inch():
    """NFPA 80, 4.8.4: at most 3/4 in (secondary).

    Out of action from twice that: our own, common practice.
    """
    limit = SETS["nfpa-80"].limits["gap.threshold.plain"]
    assert (limit.least, limit.most, limit.grave, limit.unit) == (
        None,
        Fraction(3, 4),
        Fraction(3, 2),
        Unit.INCH,
    )


@pytest.mark.parametrize(
    ("given", "taken"),
    [
        ({"act_now": 365, "soon": 365, "planned": 365, "watch": 730}, True),
        ({"planned": 0, "watch": 0}, True),
        ({"act_now": 366}, False),
        ({"soon": 366}, False),
        ({"planned": 366}, False),
        ({"watch": 731}, False),
    ],
)
def test_target_times_lie_between_at_once_and_a_year_and_two_for_what_is_watched(given, taken):
    if taken:
        assert Targets(**given)
    else:
        with pytest.raises(ValidationError):
            Targets(**given)
