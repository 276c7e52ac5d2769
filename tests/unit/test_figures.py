"""Intervals, ROC, Brier score; and noise that is as loud as it says."""

from pathlib import Path

import numpy as np
import pytest

from doorround.hearing.adaptation.labelled_clips import LabelledClip
from doorround.hearing.audio.sound import RATE, sound_of
from tests.benchmarks.bench_noise import name_of
from tests.benchmarks.figures import at_most, brier, reliability, roc, wilson
from tests.benchmarks.noise import KINDS, SPOKEN, mixed, noise_of


def test_wilson_as_worked_by_newcombe():
    # 81 of 263: 0.2553 to 0.3662; 0 of 20: 0 to 0.1611; 15 of 148: 0.0624 to 0.1605.
    # Source: Newcombe, Two-sided confidence intervals for the single proportion, 1998, table I,
    # method 3 (from memory)
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=1e-4)
    assert wilson(15, 148) == pytest.approx((0.0624, 0.1605), abs=1e-4)
    assert wilson(0, 20) == pytest.approx((0.0, 0.1611), abs=1e-4)


def test_none_of_three_hundred_is_at_most_one_in_a_hundred():
    assert at_most(0, 300) == pytest.approx(0.01)
    assert at_most(81, 263) == pytest.approx(0.3662, abs=1e-4)
    with pytest.raises(ValueError):
        wilson(0, 0)


def test_brier_score():
    assert brier([1.0, 0.0], [True, False]) == 0
    assert brier([0.5, 0.5], [True, False]) == 0.25
    assert brier([0.8, 0.4], [True, True]) == pytest.approx((0.04 + 0.36) / 2)


def test_roc_runs_up_before_it_runs_right_when_scores_part_the_two():
    assert roc([0.9, 0.8, 0.2, 0.1], [True, True, False, False]) == [
        (0, 0),
        (0, 0.5),
        (0, 1),
        (0.5, 1),
        (1, 1),
    ]


def test_equal_scores_are_one_step_of_the_roc():
    assert roc([0.5, 0.5], [True, False]) == [(0, 0), (1, 1)]


def test_reliability_counts_each_trial_once():
    assert reliability([0.05, 0.95, 1.0], [False, True, False], 10) == [
        (0.05, 0, 1),
        (0.975, 0.5, 2),
    ]


def words(seconds=2.0):
    count = round(seconds * RATE)
    return sound_of((0.1 * np.sin(2 * np.pi * 300 * np.arange(count) / RATE)).astype(np.float32))


POOL = [
    np.random.default_rng(seed).standard_normal(RATE).astype(np.float32) for seed in range(9, 14)
]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("decibels", [15, 5, 0])
def test_noise_is_as_far_under_the_words_as_it_says(kind, decibels):
    sound = words()
    noise = noise_of(kind, len(sound.samples), POOL, np.random.default_rng(4))
    both = mixed(sound, noise, decibels)
    # mixing may turn both down together: the words' share of the mixture is found by their tone
    tone = sound.samples.astype(np.float64)
    against = noise.astype(np.float64)
    (words_gain, noise_gain), *_ = np.linalg.lstsq(
        np.stack([tone, against], 1), both.samples.astype(np.float64), rcond=None
    )
    loud = tone[np.abs(tone) > SPOKEN * sound.peak]
    ratio = np.mean((words_gain * loud) ** 2) / np.mean((noise_gain * against) ** 2)
    assert 10 * np.log10(ratio) == pytest.approx(decibels, abs=0.1)


@pytest.mark.parametrize("kind", KINDS)
def test_noise_is_the_same_for_the_same_seed_and_another_for_another(kind):
    first, again, other = (
        noise_of(kind, RATE, POOL, np.random.default_rng(seed)) for seed in (1, 1, 2)
    )
    assert np.array_equal(first, again) and not np.array_equal(first, other)


def test_a_yes_and_a_no_of_one_speaker_in_files_called_alike_are_two_clips():
    yes, no = (LabelledClip(Path(words) / "a_0.flac", words, "a", "") for words in ("yes", "no"))
    assert name_of(yes) != name_of(no)
