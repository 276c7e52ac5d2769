"""What a check of the installation comes to: its state, what was found, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ResultState(StrEnum):
    """How an installation stands in one respect."""

    OK = "ok"
    WARNING = "warning"
    """It works, but not as well or as safely as it could."""
    PROBLEM = "problem"
    """Something does not work, or what is kept is in danger."""


@dataclass(frozen=True)
class DoctorResult:
    """check: what was looked at. found: as it is. to_do: one sentence; "" where nothing is to be
    done.
    """

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
