"""Modules of tests that hear are known by name: they begin first, on half of the workers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.engine_scheduling import (
    HEARD_ELSEWHERE,
    IN_PROCESSES_OF_ITS_OWN,
    LOAD_SEVERAL,
    EnginesTogether,
    hears,
    is_last_to_hear,
)
from tests.slowest import LONG, LONG_UNITS

TESTS = Path(__file__).parents[1]
LOADS = re.compile(
    r"\b(usual_ear|usual_engines|choose_engines|EngineLoader|WhisperEngine|MoonshineEngine)\("
    r'|"hear",'
)
LOAD_NONE = {
    "unit/test_program.py": "starts the program as a process",
    "talks/test_wheel.py": "starts the program as a process",
    "unit/test_dates_given.py": "hears typed words alone",
}


@pytest.mark.parametrize(
    "name", [*LONG, *LONG_UNITS, *HEARD_ELSEWHERE, *LOAD_SEVERAL, IN_PROCESSES_OF_ITS_OWN]
)
def test_every_module_that_is_named_is_there(name: str) -> None:
    assert (TESTS / name).is_file()


def test_every_module_that_loads_engines_is_named() -> None:
    loading = {
        str(path.relative_to(TESTS))
        for path in TESTS.rglob("test_*.py")
        if path != Path(__file__) and LOADS.search(path.read_text(encoding="utf-8"))
    }
    assert len(loading) > 20 and loading > LOAD_NONE.keys()
    unnamed = {name for name in loading - LOAD_NONE.keys() if not hears(f"tests/{name}::test")}
    assert unnamed == set()


def test_modules_that_hear_share_half_of_the_workers_and_others_stand_alone() -> None:
    scheduling = EnginesTogether.__new__(EnginesTogether)
    scheduling._hearing = {}
    scheduling.numnodes = 4
    heard = [f"tests/audio/test_{name}.py::test" for name in ("voices", "answers", "calibrate")]
    assert [scheduling._split_scope(each) for each in heard] == [
        "engines 0",
        "engines 1",
        "engines 0",
    ]
    assert scheduling._split_scope("tests/unit/test_gaps.py::test") == "tests/unit/test_gaps.py"


@pytest.mark.parametrize(
    ("following", "last"),
    [
        ("tests/audio/test_answers.py::test", False),
        ("tests/unit/test_gaps.py::test", True),
        (None, False),
    ],
)
def test_the_engines_go_after_the_last_that_hears(following: str | None, last: bool) -> None:
    assert is_last_to_hear("tests/audio/test_voices.py::test", following) is last


def test_what_hears_nothing_has_no_engines_to_let_go() -> None:
    assert not is_last_to_hear("tests/unit/test_gaps.py::test", "tests/unit/test_rules.py::test")
