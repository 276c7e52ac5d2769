"""Whether a phrase is all that was said: a pass that goes on is refused, or read back as one that
goes on.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from covered_passes import PASS, SPEAKS, SURE

from doorround.domain.input_result import MORE_WAS_SAID
from doorround.hearing.adaptation.calibration_fit import EVIDENCE, written
from doorround.hearing.decision.accept_gate import is_too_unlikely
from doorround.hearing.decision.calibration import (
    COVERS,
    FILE,
    LogisticModel,
    calibration_of,
    read_calibration,
)
from doorround.hearing.decision.coverage import beyond, is_held, once, readings
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.recogniser import Guess, Outcome, Recognition


class Silent:
    """An engine that is never asked here."""

    name, version = "pocketsphinx", "scripted"

    def guesses(self, _sound: object, _allowed: object) -> tuple[Guess, ...]:
        return ()

    def choose(self, _speech: object, _phrases: object) -> None:
        return None


def ear() -> RecognitionPipeline:
    """It takes the evidence "end" for the logarithm of the odds that nothing more was said."""
    made = RecognitionPipeline(Silent())
    odds = LogisticModel(0.0, {"end": 1.0, "rather": 1.0})
    made.use(replace(made.calibration, covers=odds, covers_quiet=odds, covers_word=odds))
    return made


def decided(phrase: str, **evidence: float) -> Recognition:
    scored = ScoredHypotheses((Guess(phrase, 0.0),), SURE | evidence)
    return ear().decide(scored, PASS, SPEAKS)


def test_a_pass_is_entered_where_nothing_more_was_said() -> None:
    heard = decided("closes fully", end=0.0, rather=8.0)
    assert heard.outcome is Outcome.HEARD
    assert heard.covered > 0.99


@pytest.mark.parametrize(
    ("phrase", "probability", "behind", "unlikely"),
    [
        ("yes", 0.49, {}, True),
        ("no", 0.49, {}, True),
        ("yes", 0.51, {}, False),
        ("slams", 0.1, {}, False),
        ("closes fully", 0.59, {}, True),
        ("closes fully", 0.61, {}, False),
        ("closes fully", 0.79, {"depth": 20.0}, True),
        ("closes fully", 0.81, {"depth": 20.0}, False),
        ("closes fully", 0.89, {"depth": 20.0, "murmur": 0.9}, True),
        ("closes fully", 0.91, {"depth": 20.0, "murmur": 0.9}, False),
    ],
)
def test_a_pass_that_is_unlikely_is_asked_for_again_and_not_read_back(
    phrase: str, probability: float, behind: dict[str, float], unlikely: bool
) -> None:
    """The more so in noise and among other voices: one stray yes would enter it."""
    scored = ScoredHypotheses((Guess(phrase, 0.0),), SURE | {"quiet": 50.0} | behind)
    if behind:
        scored.evidence["quiet"] = behind["depth"]
    assert is_too_unlikely(scored, probability, PASS, ear().calibration) is unlikely


def test_a_pass_that_probably_goes_on_is_refused_and_tells_what_was_heard() -> None:
    heard = decided("closes fully", end=-3.0)
    assert (heard.outcome, heard.phrase, heard.within) == (
        Outcome.OFF_GRAMMAR,
        None,
        "closes fully",
    )
    assert heard.why == MORE_WAS_SAID


def test_a_pass_that_may_go_on_is_read_back_as_one_that_goes_on() -> None:
    heard = decided("closes fully", end=0.0, rather=1.2)
    assert (heard.outcome, heard.why) == (Outcome.UNSURE, MORE_WAS_SAID)


def test_a_pass_that_is_no_likelier_than_not_is_asked_for_again_and_not_read_back() -> None:
    heard = decided("closes fully", end=0.0, rather=8.0, voice=0.0, log_frames=14.0)
    assert (heard.outcome, heard.phrase, heard.within, heard.why) == (
        Outcome.OFF_GRAMMAR,
        None,
        None,
        None,
    )


def test_what_was_not_looked_at_is_judged_as_before() -> None:
    assert decided("closes fully").outcome is Outcome.HEARD
    assert decided("slams").covered == 1.0


@pytest.mark.parametrize(
    ("phrase", "held"), [("closes fully", True), ("yes", True), ("no", True), ("slams", False)]
)
def test_passes_and_a_bare_yes_or_no_have_to_be_all_that_was_said(phrase: str, held: bool) -> None:
    assert is_held(phrase, PASS) is held


@pytest.mark.parametrize("way", EVIDENCE)
def test_each_way_of_hearing_with_a_listener_tells_whether_more_was_said(way: str) -> None:
    found = read_calibration(way)
    ended = {"end": -0.1, "ended": -0.3, "second_end": 0.0}
    goes_on = {
        "end": -5.0,
        "ended": -3.0,
        "second_end": -6.0,
        "overtime": 0.6,
        "nuclei": 3.0,
        "extra": 8.0,
        "apart": 8.0,
        "rather": 4.0,
    }
    for phrase, depth in (("closes fully", 60.0), ("closes fully", 20.0), ("yes", 60.0)):
        ended["depth"] = goes_on["depth"] = depth
        assert found.covered(phrase, ended) > 0.9
        assert found.covered(phrase, goes_on) < 0.05


def test_a_syllable_more_needs_the_time_for_one() -> None:
    hiss = {"end": -1.0, "ended": -1.0, "second_end": -0.04, "nuclei": 3.0}
    found = read_calibration("listeners")
    assert found.covered("yes", {**hiss, "overtime": 0.2}) > 0.9
    assert found.covered("yes", {**hiss, "overtime": 0.6}) < 0.5


def test_a_file_of_ones_own_without_these_lines_has_those_of_the_program(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(
        written("listeners", replace(read_calibration("listeners"), **dict.fromkeys(COVERS)))
    )
    assert read_calibration("listeners", own).covers == read_calibration("listeners", FILE).covers


def test_the_lines_are_written_as_they_are_read() -> None:
    import tomllib

    found = read_calibration("listeners")
    read = calibration_of(tomllib.loads(written("listeners", found))["listeners"])
    assert [getattr(read, name) for name in COVERS] == [getattr(found, name) for name in COVERS]


def test_what_a_network_writes_again_and_again_counts_once() -> None:
    assert once("Three or four, three or four, three") == "three or four"
    assert once("Closes fully, sometimes.") == "Closes fully, sometimes."
    assert once("") == ""
    assert once("Acoustic Acoustic") == "acoustic"


def test_figures_that_were_written_are_read_as_numbers_and_as_digits() -> None:
    assert readings("It's 30 mil.") == (["it's", "thirty", "mil"], ["it's", "three", "zero", "mil"])
    assert beyond("top three four five", "Top 345.") == {"extra": 0.0, "apart": 0.0}
    assert beyond("nine hundred and twenty six millimetres", "926 mm")["apart"] == 0.0
    assert beyond("in the jamb", "In the jam.")["apart"] == 0.0
    assert beyond("all tight", "All tight, bar one.")["extra"] >= 4
