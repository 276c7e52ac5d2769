"""The listener's own figures: what a recording costs as it was heard, and which figures cost the
least.
"""

from dataclasses import asdict, replace
from types import SimpleNamespace

import pytest

from doorround.hearing.adaptation.calibration_fit import best_tuning, turns_of, written
from doorround.hearing.adaptation.calibration_trials import SpokenClip
from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE
from doorround.hearing.decision.calibration import calibration_of, read_calibration
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.tuning import TRIED, Tuning
from doorround.hearing.grammar.error_costs import read_costs
from doorround.hearing.grammar.phrase_list import grammar_of_phrases

YES_NO = grammar_of_phrases(["yes", "no"])
COSTS = read_costs()


class ToldEar:
    """Hears one thing, or what its figures make it hear."""

    def __init__(self, phrase=None, outcome=Outcome.OFF_GRAMMAR, hears=None):
        self.phrase = phrase
        self.outcome = outcome
        self.hears = hears
        self.calibration = read_calibration("listeners")
        self.used = []

    def use(self, calibration):
        self.calibration = calibration
        self.used.append(calibration.tuning)

    def listen(self, _sound, _allowed):
        if self.hears:
            return SimpleNamespace(phrase="yes", outcome=self.hears(self.calibration.tuning))
        return SimpleNamespace(phrase=self.phrase, outcome=self.outcome)


def spoken(words):
    return SpokenClip("clip", None, words, YES_NO)


@pytest.mark.parametrize(
    ("said", "heard", "outcome", "turns"),
    [
        ("yes", "yes", Outcome.HEARD, 0),
        ("no", "no", Outcome.HEARD, 0),
        ("yes", "yes", Outcome.UNSURE, COSTS.read_back),
        ("yes", None, Outcome.OFF_GRAMMAR, COSTS.ask_again),
        ("no", "yes", Outcome.HEARD, COSTS.passing.flip),
        ("yes", "no", Outcome.HEARD, COSTS.defect.flip),
        (STRANGE, "yes", Outcome.HEARD, COSTS.passing.astray),
        (
            "no",
            "yes",
            Outcome.UNSURE,
            COSTS.read_back + COSTS.ask_again + COSTS.slip * COSTS.passing.flip,
        ),
        (
            STRANGE,
            "yes",
            Outcome.UNSURE,
            COSTS.read_back + COSTS.slip * COSTS.passing.astray,
        ),
        (STRANGE, None, Outcome.OFF_GRAMMAR, 0),
        (SILENT, None, Outcome.SILENCE, 0),
    ],
)
def test_what_a_recording_costs_is_what_the_gate_counts_with(said, heard, outcome, turns):
    assert turns_of(ToldEar(heard, outcome), spoken(said)) == pytest.approx(turns)


def test_each_figure_is_tried_and_the_better_one_kept_for_the_next():
    ear = ToldEar(
        hears=lambda tuning: Outcome.HEARD if tuning.prior_share == 0.5 else Outcome.UNSURE
    )
    before = ear.calibration
    assert best_tuning(ear, lambda: [spoken("yes")] * 100) == replace(Tuning(), prior_share=0.5)
    assert ear.calibration == before, "the ear is left as it was"
    assert {tuning.shortlist for tuning in ear.used} == {Tuning().shortlist, *TRIED["shortlist"]}
    assert all(tuning.prior_share == 0.5 for tuning in ear.used if tuning.near in TRIED["near"])


def test_a_figure_that_spares_next_to_nothing_is_left_alone():
    many = iter([Outcome.UNSURE] * 100 + [Outcome.HEARD] + [Outcome.UNSURE] * 10_000)
    ear = ToldEar(hears=lambda _tuning: next(many))
    assert best_tuning(ear, lambda: [spoken("yes")] * 100) == Tuning()


def test_every_figure_of_the_listener_is_tried():
    assert set(TRIED) == set(asdict(Tuning()))
    for name, values in TRIED.items():
        for value in values:
            assert Tuning(**{name: value}) != Tuning()


@pytest.mark.parametrize(
    "figure", [{"prior_share": 1.1}, {"extra_frames": 40.5}, {"shortlist": 1}, {"near": -1.0}]
)
def test_figures_that_cannot_be_are_refused(figure):
    with pytest.raises(ValueError, match=r"cannot be|is a distance"):
        Tuning(**figure)


def test_they_are_kept_with_the_coefficients_that_hold_for_them(tmp_path):
    tuned = replace(read_calibration("listeners"), tuning=Tuning(prior_share=0.5, near=3.0))
    path = tmp_path / "calibration.toml"
    path.write_text(written("listeners", tuned), encoding="utf-8")
    assert read_calibration("listeners", path) == replace(tuned, made="")
    assert "tuning" not in written("listeners", read_calibration("listeners"))


def test_a_file_with_a_figure_that_nobody_knows_is_refused(tmp_path):
    path = tmp_path / "calibration.toml"
    text = written("listeners", replace(read_calibration("listeners"), tuning=Tuning(near=3.0)))
    path.write_text(text.replace("near", "nearer"), encoding="utf-8")
    with pytest.raises(ValueError, match=r"calibration\.toml does not tell how to weigh"):
        read_calibration("listeners", path)


def test_coefficients_without_figures_hold_for_those_that_come_with_the_program():
    table = {"right": {"bias": 1, "weights": {}}, "opposite": {"bias": 1, "weights": {}}}
    assert calibration_of(table).tuning == Tuning()
