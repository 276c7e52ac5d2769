"""Result of one installation check: state, finding and remedy."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ResultState(StrEnum):
    """State of one aspect of the installation."""

    OK = "ok"
    WARNING = "warning"
    """It works, but not as well or as safely as it could."""
    PROBLEM = "problem"
    """Something does not work, or stored data is at risk."""


@dataclass(frozen=True)
class DoctorResult:
    """check: what was checked. found: its state. to_do: one sentence; "" if nothing needs doing."""

    check: str
    state: ResultState
    found: str
    to_do: str = ""


def ok(check: str, found: str) -> DoctorResult:
    return DoctorResult(check, ResultState.OK, found)


def warning(check: str, found: str, to_do: str) -> DoctorResult:
    return DoctorResult(check, ResultState.WARNING, found, to_do)


def problem(check: str, found: str, to_do: str) -> DoctorResult:
    return DoctorResult(check, ResultState.PROBLEM, found, to_do)
