"""Intervals and reminders out of the settings file, and what is refused there."""

from datetime import time

import pytest

from doorround.config.schedule_settings import read_plan
from doorround.config.settings import SettingsError, read_settings
from doorround.domain.door import Use
from doorround.domain.schedule.intervals import AppliedRule, HouseInterval
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.recurrence import Recurrence


def given(tmp_path, text):
    (tmp_path / "doorround.toml").write_text(text, encoding="utf-8")
    return {"DOORROUND_HOME": str(tmp_path)}


def test_without_a_file_the_defaults_hold(tmp_path):
    assert read_plan({"DOORROUND_HOME": str(tmp_path)}) == Plan()


def test_a_whole_plan_is_read_beside_the_other_settings(tmp_path):
    environment = given(
        tmp_path,
        """
zone = "Europe/London"
[intervals]
rules = ["flats in England over 11 m"]
cupboard = "2 weeks"
"door R3" = "FREQ=MONTHLY;BYDAY=1MO"
[reminders]
nudge_at = 07:30:00
quiet_from = "20:00"
days_off = ["sunday"]
country = "GB"
region = "ENG"
second_after = 3
[defects]
soon = 5
""",
    )
    plan = read_plan(environment)
    assert plan.intervals.rules == (AppliedRule.FLATS,)
    assert plan.intervals.uses == {Use.CUPBOARD: HouseInterval(Recurrence(2, "week"))}
    assert plan.intervals.doors == {"R3": HouseInterval(Recurrence(rule="FREQ=MONTHLY;BYDAY=1MO"))}
    assert (plan.nudge_at, plan.quiet_from, plan.days_off) == (time(7, 30), time(20), {6})
    assert (plan.second_after, plan.defects.soon, plan.defects.planned) == (3, 5, 28)
    assert read_settings(environment).zone == "Europe/London"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[intervals]\nrules = ["the law"]', "there is no rule"),
        ('[intervals]\ncuboard = "weekly"', 'write "rules", "door 14", or a use'),
        ('[intervals]\ncupboard = "often"', "is not an interval"),
        ('[reminders]\nnudge = "08:00"', 'there is no setting "nudge"'),
        ('[reminders]\nnudge_at = "23:00"', "lies in the quiet hours"),
        ('[reminders]\nnudge_at = "8 o clock"', "nudge_at"),
        ("[reminders]\nsecond_after = 0", "from 1 to 60"),
        ('[reminders]\ndays_off = ["caturday"]', "write a list"),
        ('[reminders]\ncountry = "ZZ"', "no public holidays are known"),
        ("[defects]\nsoon = -1", "soon"),
        ("intervals = 3", "is a table"),
    ],
)
def test_what_cannot_be_is_refused_in_words(tmp_path, text, says):
    with pytest.raises(SettingsError, match=says):
        read_plan(given(tmp_path, text))


def test_quiet_hours_may_go_past_midnight():
    plan = Plan(quiet_from=time(19), quiet_until=time(7))
    assert [plan.quiet(time(hour)) for hour in (6, 7, 12, 19, 23)] == [
        True,
        False,
        False,
        True,
        True,
    ]
    assert not Plan(quiet_from=time(0), quiet_until=time(0)).quiet(time(3))


def test_an_interval_of_the_house_has_its_reason_and_whose_it_is(tmp_path):
    stair = 'stair = { every = "3 months", why = "nobody uses it", by = "Mona" }'
    plan = read_plan(given(tmp_path, f"[intervals]\n{stair}\n"))
    assert plan.intervals.uses[Use.STAIR] == HouseInterval(
        Recurrence(3, "month"), "nobody uses it", "Mona"
    )
    with pytest.raises(SettingsError, match="the reason"):
        read_plan(given(tmp_path, '[intervals]\nstair = { every = "3 months" }\n'))
