"""The routine check as data: it hangs together, each door hears its own questions, and mistakes in
a file are told.

Five things of a simple check: GOV.UK / Home Office factsheet on regulation 10. Both faces, and the
thirteen points: NFPA 80, inspection of swinging doors (secondary). Closing tests: GOV.UK, fire door
guidance (secondary).
"""

from __future__ import annotations

import re

import pytest
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    FLAT,
    FLATS,
    HELD_OPEN,
    NEW_FLAT,
    NFPA,
    PAIR,
    PASSES,
    UNKNOWN,
    Visit,
    at,
    door,
    understood,
)

from doorround.config.resources import checklist_folder, load_checklist
from doorround.domain.checklist import read_checklist
from doorround.domain.door import Door

QUESTIONS = {question.key: question for question in CHECKLIST.question}


def heard(fire_door: Door) -> list[str]:
    return [question.key for question in CHECKLIST.for_door(fire_door)]


# ---- Which door hears which question


def test_a_check_whose_door_or_rules_change_hears_the_questions_of_what_is_now() -> None:
    check = Visit(CORRIDOR).check
    before = [question.key for question in check.questions]
    for changed, checklist in ((HELD_OPEN, CHECKLIST), (CORRIDOR, NFPA), (HELD_OPEN, NFPA)):
        now = check.model_copy(update={"door": changed, "checklist": checklist})
        asked = [each.key for each in checklist.question if checklist.asks(each, changed)]
        assert [question.key for question in now.questions] == asked != before
    assert [question.key for question in check.questions] == before


def test_a_known_corridor_door_is_asked_these_questions_in_the_order_walked() -> None:
    assert heard(CORRIDOR) == [
        "clear",
        "sign.here",
        "frame.here",
        "leaf.here",
        "glass.here",
        "gaps.sides",
        "gaps.threshold",
        "latch",
        "seals",
        "hinges.count",
        "hinges.fixings",
        "frame.beyond",
        "leaf.beyond",
        "glass.beyond",
        "sign.beyond",
        "closer.full",
        "closer.ajar",
    ]


def test_a_cupboard_kept_locked_is_asked_for_its_lock_and_no_closer() -> None:
    assert heard(CUPBOARD)[0] == "lock"
    assert {
        "closer.full",
        "closer.ajar",
        "hold_open",
        "glass.here",
        "glass.beyond",
        "sign.beyond",
    }.isdisjoint(heard(CUPBOARD))
    assert "lock" not in heard(CORRIDOR)


@pytest.mark.parametrize(
    ("fields", "never"),
    [
        ({"glazing": "none"}, {"glass.here", "glass.beyond", "mark"}),
        ({"glazing": "wired"}, {"mark"}),
        ({"hold_open": "none"}, {"hold_open"}),
        ({"latch": "none"}, {"latch"}),
        ({"threshold_seal": "none"}, {"threshold"}),
        ({"use": "flat entrance"}, {"sign.here", "sign.beyond"}),
        (
            {"closer": "none, kept locked", "use": "riser"},
            {"closer.full", "closer.ajar", "sign.beyond", "lock.way_out"},
        ),
        ({"closer": "none, kept locked", "use": "stair"}, {"lock"}),
    ],
)
def test_a_door_without_a_part_never_hears_of_it(fields: dict[str, str], never: set[str]) -> None:
    assert never.isdisjoint(heard(door(**fields)))


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        ({"glazing": "clear fire-resisting"}, {"glass.here", "glass.beyond", "mark"}),
        ({"hold_open": "acoustic"}, {"hold_open"}),
        ({"latch": "lock"}, {"latch"}),
        ({"threshold_seal": "fitted"}, {"threshold"}),
        ({"closer": "none"}, {"closer.full", "closer.ajar"}),
        ({"closer": "floor spring"}, {"closer.full", "closer.ajar"}),
    ],
)
def test_a_door_with_a_part_is_asked_about_it(fields: dict[str, str], asked: set[str]) -> None:
    assert asked <= set(heard(door(**fields)))


@pytest.mark.parametrize(
    ("field", "asked"),
    [
        ("glazing", {"glass.here", "glass.beyond", "mark"}),
        ("closer", {"lock.way_out", "closer.full", "closer.ajar"}),
        ("hold_open", {"hold_open", "sign.here"}),
        ("latch", {"latch"}),
        ("threshold_seal", {"threshold"}),
    ],
)
def test_what_is_unknown_hides_no_question(field: str, asked: set[str]) -> None:
    assert asked <= set(heard(door(**{field: None})))


@pytest.mark.parametrize(
    "fire_door", [CORRIDOR, HELD_OPEN, CUPBOARD, UNKNOWN], ids=lambda each: each.number
)
def test_both_faces_of_frame_leaf_and_glass_are_looked_at(fire_door: Door) -> None:
    asked = heard(fire_door)
    for part in ("frame", "leaf"):
        assert {f"{part}.here", f"{part}.beyond"} <= set(asked)
    assert ("glass.here" in asked) == ("glass.beyond" in asked)


def test_the_closing_tests_are_from_fully_open_and_from_about_15_degrees() -> None:
    assert "fully" in QUESTIONS["closer.full"].ask
    assert "15 degrees" in QUESTIONS["closer.ajar"].ask


@pytest.mark.parametrize(
    ("fire_door", "premises", "flats", "nfpa"),
    [
        # a pair takes fewer turns than two doors; one that is held open is asked for the alarm too
        (CORRIDOR, 17, 17, 18),
        (HELD_OPEN, 21, 21, 22),
        (CUPBOARD, 13, 13, 15),
        (PAIR, 28, 28, 29),
        (FLAT, 16, 16, 19),
        (NEW_FLAT, 15, 17, 18),
    ],
)
def test_the_talk_at_a_known_door_is_no_longer_than_its_set_needs(
    fire_door: Door, premises: int, flats: int, nfpa: int
) -> None:
    assert [len(each.for_door(fire_door)) for each in (CHECKLIST, FLATS, NFPA)] == [
        premises,
        flats,
        nfpa,
    ]


@pytest.mark.parametrize(
    ("fire_door", "premises", "flats", "nfpa"),
    [
        (CORRIDOR, 20, 20, 21),
        (HELD_OPEN, 24, 24, 25),
        (CUPBOARD, 13, 13, 15),
        (PAIR, 31, 31, 32),
        (FLAT, 19, 19, 22),
        (NEW_FLAT, 18, 20, 21),
    ],
)
def test_who_has_a_stopwatch_and_a_force_gauge_is_asked_what_the_set_limits(
    fire_door: Door, premises: int, flats: int, nfpa: int
) -> None:
    gauges = {"gauges": ("stopwatch", "force gauge")}
    sets = [each.under(each.rules.model_copy(update=gauges)) for each in (CHECKLIST, FLATS, NFPA)]
    assert [len(each.for_door(fire_door)) for each in sets] == [premises, flats, nfpa]


# ---- The first check

FIELDS_ASKED = {
    "use",
    "rating",
    "leaves",
    "material",
    "glazing",
    "closer",
    "hold_open",
    "latch",
    "leaf_width_mm",
    "leaf_height_mm",
    "leaf_mass_kg",
    "seals",
    "seals_in",
    "threshold_seal",
    "hinges",
    "operation",
    "screens",
    "first_side",
}


def test_the_first_check_asks_each_unknown_field_and_the_second_none() -> None:
    assert {QUESTIONS[key].fills for key in heard(UNKNOWN) if QUESTIONS[key].fills} == {
        *FIELDS_ASKED,
        "alarm_release",
    }
    visit = Visit(UNKNOWN).all_well()
    assert {name for name in FIELDS_ASKED if getattr(visit.check.door, name) is None} == set()
    assert not [key for key in heard(visit.check.door) if key.startswith("register")]


FIRST = {"undescribed": True}


def test_a_field_that_the_register_knows_is_not_asked() -> None:
    for key, question in QUESTIONS.items():
        if (
            question.component == "register"
            and not question.always
            and not question.sets
            and not question.gauge
        ):
            assert key not in heard(door()), key
            undescribed = {"material": None, "glazing": None} if question.when == FIRST else {}
            assert key in heard(door(**{question.fills: None, **undescribed})), key


def test_hinges_are_counted_at_every_check() -> None:
    assert "hinges.count" in heard(door(hinges=3))


# ---- The data hangs together


def test_every_question_can_be_asked_in_full_and_tersely_and_helps_on() -> None:
    for key, question in QUESTIONS.items():
        assert question.ask.endswith("?") and question.terse.endswith("?"), key
        assert len(question.terse) <= 40 and len(question.terse) <= len(question.ask), key
        assert 20 <= len(question.help) <= 160 and question.example, key
        assert len(question.ask) <= 110, key


def test_every_condition_offers_a_pass_and_a_fault_on_its_buttons() -> None:
    for question in CHECKLIST.question:
        if question.kind == "condition":
            said = [understood(tap, at(question.key)) for tap in question.taps]
            assert [(question.key, "sound")] in said, question.key
            assert any(each != [(question.key, "sound")] for each in said), question.key


def test_every_fault_says_what_why_what_to_do_and_by_which_source() -> None:
    for fault in CHECKLIST.defect:
        assert fault.words and fault.why.endswith(".") and fault.do_now.endswith("."), fault.name
        law = r"GOV\.UK|NFPA 80|BS |Approved Document|Trade|Regulatory Reform"
        assert re.search(rf"{law}|common practice, no source", fault.source)
        published = "common practice" not in fault.source
        assert not published or "secondary" in fault.source or "from memory" in fault.source, (
            fault.source
        )


def test_every_component_is_asked_about_somewhere() -> None:
    assert {question.component for question in CHECKLIST.question} == {
        part.key for part in CHECKLIST.component
    }


FIVE_THINGS = {
    "alterations or damage to glazing": (
        {"glass.here", "glass.beyond"},
        {("glass", "cracked"), ("glass", "wrong")},
    ),
    "gaps around the frame, seals and hinges fitted correctly": (
        {"gaps.sides", "gaps.threshold", "seals", "hinges.count", "hinges.fixings"},
        {("frame", "wall_gap"), ("seals", "missing"), ("hinges", "screw_missing")},
    ),
    "the closer shuts the door": ({"closer.full", "closer.ajar"}, {("closer", "not_closing")}),
    "the door closes correctly around the whole frame": (
        {"closer.full", "closer.ajar"},
        {("closer", "stops_short"), ("leaf", "binding")},
    ),
    "no visible damage to door or closer": (
        {"leaf.here", "leaf.beyond", "frame.here", "frame.beyond", "closer.full"},
        {("leaf", "damaged"), ("frame", "damaged"), ("closer", "broken"), ("closer", "leaking")},
    ),
}


@pytest.mark.parametrize("thing", FIVE_THINGS)
def test_each_of_the_five_things_of_the_factsheet_is_asked_and_can_be_found_wrong(
    thing: str,
) -> None:
    """GOV.UK / Home Office factsheet on regulation 10."""
    questions, faults = FIVE_THINGS[thing]
    assert questions <= set(heard(CORRIDOR))
    assert faults <= {(fault.component, fault.name) for fault in CHECKLIST.defect}


def test_the_table_of_passes_covers_every_question() -> None:
    assert set(PASSES) == set(QUESTIONS)


# ---- A mistake in a file is told so that it can be mended

ROUTINE = (checklist_folder() / "routine.toml").read_text(encoding="utf-8")


def spoiled(good: str, bad: str) -> str:
    assert ROUTINE.count(good) >= 1, good
    return ROUTINE.replace(good, bad, 1)


@pytest.mark.parametrize(
    ("good", "bad", "told"),
    [
        ('key = "routine"', "key = routine", r"is not TOML: .*line 5"),
        (
            'component = "lock"',
            'component = "lok"',
            r'there is no component "lok"\. Use one of: register, lock, ',
        ),
        (
            'key = "frame.beyond"',
            'key = "frame.here"',
            r'question "frame\.here" stands there twice',
        ),
        (
            'kind = "count"',
            'kind = "number"',
            r"question \"hinges\.count\" `kind`: .*Use one of: condition, count,",
        ),
        (
            "when = { kept_locked",
            "when = { locked",
            r'"lock": a door has no "locked"\. Use one of: .*kept_locked',
        ),
        (
            "when = { kept_locked = true,",
            'when = { kept_locked = ["yes"],',
            r'question "lock": .* is true or false',
        ),
        (
            '["wired", "clear',
            '["wierd", "clear',
            r'"glass\.here": "glazing" is never "wierd"; it is a list of: none',
        ),
        (
            'glazing = ["wired", "clear fire-resisting"]',
            "glazing = []",
            r'"glass\.here": "glazing" is never',
        ),
        (
            'glazing = ["wired", "clear fire-resisting"]',
            "glazing = true",
            r'`when` for "glazing" is a list',
        ),
        (
            'fills = "glazing"',
            'fills = "glass"',
            r'question "register\.glazing": a door has no "glass"',
        ),
        ('unit = "mm"\nmoves', "moves", r'question "gaps\.sides": `unit` is for measures'),
        (
            'sound = "yes"',
            "",
            r'question "lock": `sound` is for yes/no questions, and each needs it',
        ),
        (
            'taps = ["three", "four", "two"]',
            "taps = []",
            r"question \"hinges\.count\" `taps`: .*at least 1 item",
        ),
        (
            'severity = "act now"',
            'severity = "sound"',
            r"defect \"clear\.wedged\" `severity`: .* soon, act now",
        ),
        (
            'sets = ["nfpa-80"]',
            'sets = ["nfpa"]',
            r'"label": no set of rules "nfpa"\. Use one of: england-flats',
        ),
        ('words = "wedged open"\n', "", r"defect \"clear\.wedged\" `words`: this is missing"),
        (
            'title = "Routine',
            'titel = "Routine',
            r"(title: this is missing|titel: there is no such field)",
        ),
    ],
)
def test_a_mistake_in_a_checklist_is_told_with_file_place_and_remedy(
    good: str, bad: str, told: str
) -> None:
    with pytest.raises(ValueError, match=r"^ours\.toml.*" + told):
        read_checklist(spoiled(good, bad), "ours.toml")


def test_a_checklist_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(ValueError, match=r'There is no checklist "weekly"\. Use one of: .*routine'):
        load_checklist("weekly")


def test_an_organisation_adds_a_question_without_touching_code() -> None:
    more = (
        ROUTINE
        + '\n[[question]]\nkey = "kickplate"\ncomponent = "leaf"\nkind = "condition"\nsays ='
        ' "condition.leaf"\nask = "Kickplate?"\nterse = "Kickplate?"\nhelp = "Low on the'
        ' leaf."\nexample = "fine"\ntaps = ["fine"]\nwhen = { use = ["kitchen"] }\n'
    )
    ours = read_checklist(more, "ours.toml")
    assert ours.for_door(door(use="kitchen"))[-1].key == "kickplate"
    assert "kickplate" not in [question.key for question in ours.for_door(door())]
