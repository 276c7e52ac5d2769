"""Checks of the machine: Python, packages, data folder, disk, clock, microphone."""

from __future__ import annotations

import os
import shutil
import sys
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path

from doorround.cli.doctor_result import DoctorResult, ok, problem, warning
from doorround.config.data_folder import open_to_others

OLDEST_PYTHON = (3, 11)
NEWEST_PYTHON = (3, 14)
LOW_DISK = 200 * 10**6
"""Free bytes below which a day's recordings may not fit."""
SCARCE_DISK = 2 * 10**9
EARLIEST_YEAR = 2026
"""A clock before this version's release date suggests a flat battery."""


def program_version() -> DoctorResult:
    try:
        return ok("doorround", f"version {version('doorround')}")
    except PackageNotFoundError:
        to_do = "Install it: in its checkout run pip install --no-deps -e ."
        return warning("doorround", "runs from a folder, not installed", to_do)


def python_version() -> DoctorResult:
    here = ".".join(map(str, sys.version_info[:3]))
    if OLDEST_PYTHON <= sys.version_info[:2] <= NEWEST_PYTHON:
        return ok("Python", here)
    wanted = f"Use Python {_dotted(OLDEST_PYTHON)} to {_dotted(NEWEST_PYTHON)}."
    return warning("Python", f"{here}, which has not been tested", wanted)


def _dotted(version_info: tuple[int, int]) -> str:
    return ".".join(map(str, version_info))


def data_folder(home: Path) -> DoctorResult:
    if not home.exists():
        return warning("data folder", f"{home} does not exist yet", "Run: doorround init")
    if not home.is_dir():
        return problem("data folder", f"{home} is not a folder", "Set DOORROUND_HOME to a folder.")
    if not os.access(home, os.R_OK | os.W_OK | os.X_OK):
        to_do = f"As its owner, run: chmod u+rwx {home}"
        return problem("data folder", f"{home} cannot be written by this account", to_do)
    if others := list(open_to_others(home)):
        to_do = f"Run: chmod go= {others[0]}"
        return problem("data folder", f"{others[0]} can be read by other accounts", to_do)
    return ok("data folder", f"{home}, for this account alone")


def disk_space(home: Path) -> DoctorResult:
    there = next(path for path in (home, *home.parents) if path.exists())
    free = shutil.disk_usage(there).free
    found = f"{free / 10**9:.1f} GB free where {there} lies"
    if free < LOW_DISK:
        return problem("disk", found, "Free up space now: soon nothing more can be entered.")
    if free < SCARCE_DISK:
        return warning("disk", found, "Free up space, or shorten keep_recordings in the settings.")
    return ok("disk", found)


def clock(now: datetime) -> DoctorResult:
    found = f"{now.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
    if now.year < EARLIEST_YEAR:
        to_do = "Set the clock of this computer: every entry carries its time."
        return problem("clock", f"{found}, which cannot be", to_do)
    return ok("clock", found)


def microphone() -> DoctorResult:
    """Only `doorround chat` records; on a messenger the phone does."""
    if find_spec("sounddevice") is None:
        return ok("microphone", "not used: doorround chat takes voice files and typing")
    try:
        import sounddevice

        found = sounddevice.query_devices(kind="input")
    except Exception as error:  # PortAudio reports a missing library and a missing device alike
        reason = str(error).splitlines()[0] if str(error) else type(error).__name__
        to_do = "Only needed to record in doorround chat: plug one in, or give voice files."
        return warning("microphone", f"none found ({reason})", to_do)
    return ok("microphone", str(found["name"]))
