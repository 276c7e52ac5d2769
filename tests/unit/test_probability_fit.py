"""Evidence fitted to probabilities: what the lines must be, whatever they are fitted on."""

import math

import numpy as np
import pytest

from doorround.hearing.adaptation.calibration_fit import RIGHT, fitted, missed_by, written
from doorround.hearing.adaptation.probability_fit import (
    MIN_TRIALS,
    Trial,
    brier,
    fit_opposite,
    fit_right,
)
from doorround.hearing.decision.calibration import (
    QUIET,
    Calibration,
    LogisticModel,
    read_calibration,
)


def drawn(count=4000, seed=3):
    """Trials of which the true line is known: log odds of being right are 1 + 2 × margin − 3 ×
    murmur.
    """
    random = np.random.default_rng(seed)
    for margin, murmur, luck in zip(*random.random((3, count)), strict=True):
        odds = 1 + 2 * margin - 3 * murmur
        yield Trial({"margin": margin, "murmur": murmur}, bool(luck < 1 / (1 + math.exp(-odds))))


def test_the_line_that_the_trials_were_drawn_from_is_found_again():
    line = fit_right(list(drawn(40_000)), ("margin", "murmur"))
    assert (line.bias, line.weights["margin"], line.weights["murmur"]) == pytest.approx(
        (1, 2, -3), abs=0.1
    )


def test_the_probabilities_add_up_to_what_happened():
    """As maximum likelihood has it for any logistic line with a bias."""
    trials = list(drawn())
    line = fit_right(trials, ("margin",))
    expected = sum(line.probability(trial.evidence) for trial in trials)
    assert expected == pytest.approx(sum(trial.right for trial in trials), abs=1.0)


def test_a_trial_of_weight_three_counts_as_three_of_its_like():
    trials = list(drawn(600))
    heavy = [
        Trial(each.evidence, each.right, weight=3.0 if each.evidence["margin"] > 0.5 else 1.0)
        for each in trials
    ]
    copied = [each for each in trials for _ in range(3 if each.evidence["margin"] > 0.5 else 1)]
    one, other = (fit_right(some, ("margin", "murmur")) for some in (heavy, copied))
    assert one.bias == pytest.approx(other.bias, abs=1e-3)
    assert dict(one.weights) == pytest.approx(dict(other.weights), abs=1e-3)
    assert one.bias != pytest.approx(fit_right(trials, ("margin", "murmur")).bias, abs=1e-3)


def test_a_guess_without_an_opposite_tells_nothing_of_opposites():
    trials = [Trial(each.evidence, each.right, opposed=not each.right) for each in drawn(500)]
    with_others = [
        *trials,
        *(Trial({"margin": 1.0, "murmur": 0.0}, False, None) for _ in range(500)),
    ]
    assert fit_opposite(with_others, ("margin",)) == fit_opposite(trials, ("margin",))


def test_too_few_trials_are_no_fit():
    with pytest.raises(ValueError, match="few"):
        fit_right(list(drawn(MIN_TRIALS - 1)), ("margin",))


def test_a_probability_that_is_always_right_misses_by_nothing_and_a_coin_by_a_quarter():
    sure = fit_right(
        [Trial({"margin": 1.0 if right else 0.0}, right) for right in [True, False] * 200],
        ("margin",),
    )
    coin = fit_right([Trial({}, right) for right in [True, False] * 200], ())
    trials = [Trial({"margin": float(right)}, right) for right in (True, False)]
    assert brier(coin, trials) == pytest.approx(0.25)
    assert brier(sure, trials) < 0.01


# ---- Quiet behind the words, and not


def heard(depth, count=500, seed=5):
    """Trials at this depth; where it is quiet the same total says more."""
    random = np.random.default_rng(seed)
    for total, luck in zip(*random.random((2, count)), strict=True):
        odds = (6 if depth >= QUIET else 2) * total - 1
        right = bool(luck < 1 / (1 + math.exp(-odds)))
        yield Trial({"total": total, "depth": depth}, right, opposed=not right and luck > 0.9)


def test_where_it_is_quiet_the_evidence_counts_by_a_line_of_its_own():
    trials = [*heard(QUIET, 4000, 1), *heard(QUIET - 1, 4000, 2)]
    found = fitted("listeners", trials)
    assert found.quiet and found.quiet.weights["total"] > found.right.weights["total"] + 2
    evidence = {"total": 0.8}
    assert found.probability(evidence | {"depth": QUIET}) == found.quiet.probability(evidence)
    assert found.probability(evidence | {"depth": QUIET - 0.1}) == found.right.probability(evidence)
    assert found.probability(evidence) == found.right.probability(evidence)
    both = brier(fit_right(trials, RIGHT["listeners"]), trials)
    assert missed_by(found, trials) < both - 0.005


def test_too_few_quiet_recordings_or_none_that_were_missed_get_no_line_of_their_own():
    loud = list(heard(0.0))
    few = list(heard(QUIET, MIN_TRIALS - 1))
    sure = [Trial({"total": 1.0, "depth": QUIET}, True, False) for _ in range(MIN_TRIALS)]
    for quiet in (few, sure):
        found = fitted("listeners", [*loud, *quiet])
        assert found.quiet is None
        assert found.right == fit_right([*loud, *quiet], RIGHT["listeners"])


def test_what_is_written_is_read_again_with_the_line_for_quiet_or_without(tmp_path):
    lines = (
        LogisticModel(0.5, {"total": 1.0}),
        LogisticModel(-1.0, {"opposite": -0.5}),
        LogisticModel(2.0, {"total": 3.0}),
    )
    kept = tmp_path / "calibration.toml"
    for quiet in (lines[2], None):
        given = Calibration(
            *lines[:2], quiet=quiet, covers=lines[0], covers_quiet=lines[1], covers_word=lines[2]
        )
        kept.write_text(written("listeners", given), encoding="utf-8")
        assert read_calibration("listeners", kept) == given
