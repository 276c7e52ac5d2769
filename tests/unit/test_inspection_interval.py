"""The estimated check interval, compared with the published example and table, with the textbook,
and with simulation.
"""

import math
from random import Random

import pytest
import small_visit as visit

from doorround.domain.defects import DeedKind
from doorround.domain.door import Use
from doorround.domain.inspection_interval import (
    CheckInterval,
    advise,
    failure_finding_interval,
    failure_rate,
    interval_for,
    unprotected_share,
)
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.recurrence import Recurrence
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.history import gaps_by_use
from doorround.logbook.store import Logbook

YEAR = 365.0


def test_the_published_worked_example():
    """20 smoke detectors, 4 years, checked yearly, 8 found failed: one in 10 years; for 99 % every
    73 days.
    """
    mean = 20 * 4 / 8
    assert mean == 10
    assert failure_finding_interval(mean * YEAR, 0.99) == pytest.approx(73)
    # the exact formula differs by less than a day there
    assert interval_for(1 / (mean * YEAR), 0.99) == pytest.approx(73, abs=1)


@pytest.mark.parametrize(
    ("availability", "share"),
    [(0.9995, 0.1), (0.999, 0.2), (0.995, 1), (0.99, 2), (0.97, 6), (0.95, 10)],
)
def test_the_published_table(availability, share):
    """The interval as a share of the mean time between failures, in percent."""
    assert failure_finding_interval(100, availability) == pytest.approx(share)
    assert interval_for(1 / 100, availability) == pytest.approx(share, rel=0.04)


def test_the_example_counted_with_censoring_fails_somewhat_sooner():
    """A failure found at a yearly check happened before it: the rate is higher than failures over
    years.
    """
    rate = failure_rate([CheckInterval(YEAR, nth < 8) for nth in range(80)])
    crude = 8 / (80 * YEAR)
    # the most likely rate, without a prior: −ln(72/80) a year
    assert rate.mean * YEAR == pytest.approx(-math.log(72 / 80), rel=0.08)
    assert rate.mean > crude
    assert rate.low < crude < rate.high


def test_rare_failures_give_the_gamma_of_the_textbook():
    """7 failures in 100,000 door-days, checked daily: gamma with shape 7.5; its mean, and 5 and 95
    % quantiles.
    """
    rate = failure_rate([CheckInterval(1.0, nth < 7) for nth in range(100_000)])
    assert rate.mean * 100_000 == pytest.approx(7.5, rel=0.002)
    # half of the chi-squared quantiles with 15 degrees of freedom, from a table: 7.261 and 24.996
    assert rate.low * 100_000 == pytest.approx(7.261 / 2, rel=0.01)
    assert rate.high * 100_000 == pytest.approx(24.996 / 2, rel=0.01)


@pytest.mark.parametrize("days", [7.0, 30.0, 365.0])
def test_the_unprotected_share_against_simulation(days):
    dice = Random(11)
    rate = 1 / 200
    checks = 20_000
    lost = sum(max(0.0, days - dice.expovariate(rate)) for _ in range(checks))
    assert unprotected_share(rate, days) == pytest.approx(lost / (checks * days), rel=0.03)


def test_the_share_keeps_its_digits_where_the_risk_is_small():
    assert unprotected_share(1e-9, 1.0) == pytest.approx(5e-10)
    assert unprotected_share(1e-4, 0.0101) == pytest.approx(1e-4 * 0.0101 / 2, rel=1e-5)


def test_the_credible_interval_holds_the_true_rate_as_often_as_it_says():
    dice = Random(5)
    true = 1 / 300
    held = 0
    estates = 200
    for _ in range(estates):
        gaps = [CheckInterval(30.0, dice.expovariate(true) < 30.0) for _ in range(120)]
        rate = failure_rate(gaps)
        held += rate.low <= true <= rate.high
    # 90 % of 200 is 180; three standard deviations are 13
    assert 167 <= held <= 193


def test_gaps_are_read_from_the_logbook(tmp_path):
    """Sound, sound, failed, still failed, sound, sound: two gaps without, one with; none while the
    failure stands.
    """
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        door = visit.door(use=Use.STAIR)
        logbook.add_door(door, "Mona", visit.at(-5))
        for nth, seals in enumerate([visit.SOUND] * 2 + [visit.PAINTED] * 2 + [visit.SOUND] * 2):
            turn = visit.start(door, id=f"c{nth}", minute=nth * 1440)
            logbook.begin("chat", turn)
            turn = visit.answer(turn.check, "seals", seals, nth * 1440)
            logbook.keep("chat", None, turn)
            logbook.keep("chat", None, visit.close(turn.check, nth * 1440))
        assert gaps_by_use(logbook) == {
            "stair": [
                CheckInterval(1.0, False),
                CheckInterval(1.0, True),
                CheckInterval(1.0, False),
            ]
        }
        assert gaps_by_use(logbook, "15") == {}


def check_on(logbook, door, nth, seals):
    turn = visit.start(door, id=f"c{nth}", minute=nth * 1440)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", seals, nth * 1440)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, nth * 1440))


@pytest.mark.parametrize(
    ("back", "gaps"),
    [
        (visit.PAINTED, [CheckInterval(1.0, True), CheckInterval(2.0, True)]),
        (visit.SOUND, [CheckInterval(1.0, True), CheckInterval(2.0, False)]),
    ],
)
def test_what_comes_back_after_a_repair_is_a_failure_again(tmp_path, back, gaps):
    """Sound on day 0, failed on day 1, repaired on day 2, checked on day 4."""
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Sam", "caretaker", visit.at(-9))
        door = visit.door(use=Use.STAIR)
        logbook.add_door(door, "Mona", visit.at(-5))
        check_on(logbook, door, 0, visit.SOUND)
        check_on(logbook, door, 1, visit.PAINTED)
        [defect] = read_defects(logbook, Targets()).open
        done = (DeedKind.MADE_GOOD, "Sam", visit.at(2 * 1440), "strip replaced")
        act(logbook, defect, *done, no_photo="it is dark there")
        check_on(logbook, door, 4, back)
        assert gaps_by_use(logbook) == {"stair": gaps}


def test_a_repair_that_was_taken_back_starts_nothing(tmp_path):
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Sam", "caretaker", visit.at(-9))
        door = visit.door(use=Use.STAIR)
        logbook.add_door(door, "Mona", visit.at(-5))
        check_on(logbook, door, 1, visit.PAINTED)
        [defect] = read_defects(logbook, Targets()).open
        done = (DeedKind.MADE_GOOD, "Sam", visit.at(2 * 1440), "strip replaced")
        act(logbook, defect, *done, no_photo="it is dark there")
        [defect] = read_defects(logbook, Targets()).all.values()
        act(logbook, defect, DeedKind.REOPENED, "Sam", visit.at(3 * 1440), "the wrong door")
        check_on(logbook, door, 4, visit.PAINTED)
        assert gaps_by_use(logbook) == {}


def test_little_history_suggests_nothing():
    for gaps in (
        [],
        [CheckInterval(7.0, True)],
        [CheckInterval(30.0, False)] * 100,
        [CheckInterval(10.0, True)] * 2 + [CheckInterval(30.0, False)] * 100,
    ):
        told = advise(gaps, Recurrence(1, "month"), 0.99)
        assert told.suggested is None and told.text.startswith("Too little history")


def test_a_suggestion_never_makes_an_interval_longer():
    rare = [CheckInterval(30.0, nth < 3) for nth in range(20_000)]
    assert advise(rare, Recurrence(1, "week"), 0.99).suggested == 7.0
    often = [CheckInterval(30.0, nth % 5 == 0) for nth in range(300)]
    told = advise(often, Recurrence(1, "month"), 0.99)
    assert told.suggested < 5
    assert f"For 99.0% check every {math.floor(told.suggested)} days." in told.text
    # the linear rule lies a little under the exact formula
    linear = failure_finding_interval(1 / told.rate.high, 0.99)
    assert (
        f"The linear rule 2 × U × M gives {linear:.1f} days." in told.text
        and linear < told.suggested
    )
    assert "linear rule" not in advise(often, Recurrence(1, "month"), 0.9).text
