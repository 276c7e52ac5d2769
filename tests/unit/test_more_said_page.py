"""What bench_more_was_said prints: read-backs for doubt counted apart from those that the grammar
asks for.
"""

from __future__ import annotations

import numpy as np
import pytest

from doorround.hearing.audio.sound import sound_of
from tests.benchmarks.more_said import YES_NO, Case, says_all
from tests.benchmarks.more_said_at_once import Fate, at_once_table, fate_of, not_at_once
from tests.benchmarks.more_said_page import report, verdict, ways_table


def row(**changed):
    """A passing phrase, alone and in quiet, entered at once, with some things changed."""
    return {
        "name": "right 0",
        "kind": "right",
        "question": "frame.here",
        "words": "fine",
        "voice": "flite slt",
        "condition": "quiet",
        "outcome": "heard",
        "phrase": "fine",
        "within": None,
        "passes": True,
        "probability": 0.99,
        "covered": 1.0,
        "why": None,
        "transcript": "Fine.",
        "entered": True,
        "entered without": True,
        "in grammar": False,
        "says all": True,
        "right": True,
        "evidence": {"end": -0.1, "depth": 60.0},
    } | changed


DOUBTED = {"entered": False, "outcome": "unsure", "why": "other voices"}
REFUSED = {"entered": False, "outcome": "off grammar", "phrase": None}


@pytest.mark.parametrize(
    ("question", "phrase", "whole"),
    [
        ("frame.here", "fine", True),
        # one fault denied, others may be there
        ("glass.here", "no crack", False),
        # of a frame it leaves unsaid whether it is firm
        ("frame.here", "undamaged", False),
        # "whole" sounds like "hole"
        ("glass.here", "whole", False),
        (YES_NO, "yes", True),
    ],
)
def test_a_phrase_that_the_grammar_reads_back_does_not_say_all(question, phrase, whole):
    silence = sound_of(np.zeros(160, np.float32))
    case = Case("right 0", question, phrase, "right", "flite slt", silence, phrase)
    assert says_all(case) is whole


@pytest.mark.parametrize(
    ("changed", "fate"),
    [
        ({}, Fate.AT_ONCE),
        (DOUBTED, Fate.READ_BACK),
        ({"says all": False}, Fate.READ_BACK),
        (REFUSED, Fate.ASKED_AGAIN),
        ({"right": False}, Fate.MISHEARD),
        ({"right": False, **DOUBTED}, Fate.MISHEARD),
    ],
)
def test_what_becomes_of_an_answer(changed, fate):
    assert fate_of(row(**changed)) is fate


def test_read_backs_that_the_grammar_asks_for_are_not_counted_as_doubt():
    surely = [row() for _ in range(8)]
    doubted = [row(**DOUBTED), row(**REFUSED)]
    less = [row(**{"says all": False})] * 3
    assert at_once_table([*surely, *doubted, *less]).splitlines()[2:] == [
        "| phrases that pass and say all that was asked | 10 | 9 | 8 | 1 | 1 | 0"
        " | 88.9 (57 to 98) | 10 of 10 |",
        "| phrases that pass but say less, or are hedged | 3 | 3 | 0 | 3 | 0 | 0"
        " | 0.0 (0 to 56) | 0 of 3 |",
    ]


def test_people_in_a_noisy_room_are_counted_apart_too():
    person = {"voice": "person", "question": YES_NO, "words": "yes", "phrase": "yes"}
    noisy = row(**person, **DOUBTED, evidence={"depth": 8.0})
    lines = at_once_table([row(**person), noisy]).splitlines()[2:]
    assert [line.split(" | ")[:5] for line in lines] == [
        ["| people's yes and no", "2", "2", "1", "1"],
        ["| of these, 20 dB and more above their background", "1", "1", "1", "0"],
    ]


def test_each_answer_that_was_not_entered_at_once_is_told_with_its_reason():
    rows = [row(), row(**DOUBTED), row(**{"says all": False})]
    assert not_at_once(rows) == (
        '- read back, flite slt, frame.here: "fine" as "fine", other voices; transcript: "Fine."'
    )
    assert "as nothing, not sure enough" in not_at_once([row(**REFUSED)])
    assert not_at_once([row(right=False)]).startswith("- misheard and entered, flite slt")
    assert not_at_once([row(right=False, **DOUBTED)]).startswith("- misheard and read back,")
    assert not_at_once([row()]) == "All that say all were entered at once."


def test_a_short_run_is_reported_without_the_table_that_is_fitted():
    rows = [row(), *[row(kind="more", words="fine, mostly", right=False)] * 9]
    assert "needs 100" in ways_table(rows) and "there are 10 in all" in ways_table(rows)
    assert "| a pass and a tail | quiet | 9 | 9 |" in report(rows)


def test_a_long_run_is_compared_by_fitted_evidence():
    wrong = {"kind": "more", "words": "fine, mostly", "right": False}
    rows = [row()] * 150 + [row(**wrong, evidence={"end": -6.0})] * 150
    assert "| the first listener would have ended there | 0 | 150 |" in ways_table(rows)


def test_the_verdict_says_in_plain_words_how_many_are_entered_at_once():
    person = {"voice": "person", "question": YES_NO, "words": "yes", "phrase": "yes"}
    rows = [row(), row(**DOUBTED), row(**{"says all": False}), row(**person)]
    assert verdict(rows).endswith(
        "Understood and entered at once in quiet: 1 of 2 passing phrases that say all that was"
        " asked, and 1 of 1 people's yes and no."
    )
