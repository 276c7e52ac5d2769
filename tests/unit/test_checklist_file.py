"""A checklist as a file: a mistake is told with file, place and remedy."""

from __future__ import annotations

import pytest
from visits import (
    door,
)

from doorround.config.resources import checklist_folder, load_checklist
from doorround.domain.checklist import read_checklist

ROUTINE = (checklist_folder() / "routine.toml").read_text(encoding="utf-8")


def spoiled(good: str, bad: str) -> str:
    assert ROUTINE.count(good) >= 1, good
    return ROUTINE.replace(good, bad, 1)


@pytest.mark.parametrize(
    ("good", "bad", "told"),
    [
        ('key = "routine"', "key = routine", r"is not TOML: .*line 6"),
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
