"""Checks of doorround's own parts: settings, logbook, models, voice, backups."""

from __future__ import annotations

import shlex
import shutil
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from importlib.util import find_spec

from doorround.cli.doctor_result import DoctorResult, ok, problem, warning
from doorround.config.settings import Settings

OLD_BACKUP = timedelta(days=8)
"""A weekly backup, plus a day to spare."""


def settings_file(environment: Mapping[str, str]) -> Iterator[DoctorResult]:
    from doorround.config.review import problems
    from doorround.config.sources import settings_file as file_of

    found = problems(environment)
    if not found:
        path, tables = file_of(environment)
        yield ok("settings", f"{path} is in order" if tables else "the defaults hold")
    for each in found:
        yield problem("settings", each, "Fix that line. See: doorround settings check")


def time_zone(settings: Settings) -> DoctorResult:
    if settings.zone == "UTC":
        to_do = "If the site is elsewhere, set zone, such as Europe/London. Run: doorround init"
        return warning("time zone", "UTC", to_do)
    return ok("time zone", settings.zone)


def logbook(settings: Settings) -> Iterator[DoctorResult]:
    from doorround.logbook.clock import doubt_now
    from doorround.logbook.errors import LogbookError
    from doorround.logbook.file_checks import Folders, file_faults
    from doorround.logbook.noted_line import note_gone, noted_faults
    from doorround.logbook.opening import reading

    if not settings.logbook.is_file():
        to_do = "It begins with the first door: doorround doors add 12"
        yield warning("logbook", f"{settings.logbook} does not exist yet", to_do)
        return
    home = settings.home
    try:
        with reading(settings.logbook, settings.zone) as kept:
            faults = [*kept.verify(), *noted_faults(kept), *note_gone(kept)]
            last = kept.head()
            doubt = doubt_now(kept)
            folders = Folders(settings.recordings, home / "photos", home / "evidence")
            files = [] if faults else list(file_faults(kept, folders))
    except LogbookError as error:
        yield problem("logbook", str(error), "Put the last good backup in its place.")
        return
    for fault in (*faults, *files):
        to_do = "Keep a copy of the data folder as it is. See: doorround logbook verify"
        yield problem("logbook", str(fault), to_do)
    if not faults and not files:
        yield ok("logbook", f"{last.count} entries, unbroken")
    if doubt:
        yield problem("clock", f"in doubt: {doubt.why}", "See: doorround logbook clock")


def hearing(settings: Settings) -> Iterator[DoctorResult]:
    """Loads the engines, so that every model file is verified against its hash."""
    from doorround.hearing.errors import EngineUnavailable
    from doorround.hearing.model_files.installed_models import installed_engines
    from doorround.wiring import EngineLoader

    loader = EngineLoader(settings)
    try:
        loader()
    except (EngineUnavailable, OSError, ValueError) as error:
        yield problem("hearing", str(error), "Until then voice is not recognised; typing works.")
        return
    yield ok("hearing", loader.line)
    for engine in installed_engines(settings.models):
        if engine.name in ("listener", "moonshine") and not engine.ready:
            to_do = (
                "Without it voice is recognised less reliably in noise. See: doorround models list"
            )
            yield warning("hearing", f"{engine.name}: {engine.about}", to_do)


def reading_aloud(settings: Settings) -> DoctorResult:
    if settings.voice == "off":
        return ok("reading aloud", "off")
    if settings.voice == "package":
        if find_spec("hibari") is None:
            to_do = (
                "If wanted, run in doorround's checkout: pip install '.[aloud]'; else set voice."
            )
            return warning("reading aloud", "the package's voice is not installed", to_do)
        return ok("reading aloud", "by the package's voice")
    command = shlex.split(settings.voice)[0]
    if shutil.which(command) is None:
        to_do = "Install it, or set voice to package or off."
        return problem("reading aloud", f"there is no command {command}", to_do)
    return ok("reading aloud", f"by {command}")


def pictures() -> DoctorResult:
    if find_spec("matplotlib") is None:
        to_do = "If wanted, run in the checkout: pip install '.[plots]'; else set picture to none."
        return warning("pictures", "summaries come without: the extra plots is not here", to_do)
    return ok("pictures", "drawn beside summaries")


def backups(settings: Settings, now: datetime) -> DoctorResult:
    from doorround.logbook.backup import last_backup

    if settings.backups is None:
        to_do = "Set backups to a folder on another disk, and run each night: doorround backup"
        return warning("backups", "no folder has been set", to_do)
    last = last_backup(settings.backups)
    to_do = "Run: doorround backup"
    if last is None:
        return problem("backups", f"none in {settings.backups}", to_do)
    found = f"the last is of {last:%Y-%m-%d %H:%M} UTC, in {settings.backups}"
    if now - last > OLD_BACKUP:
        return problem("backups", f"{found}, {(now - last).days} days ago", to_do)
    return ok("backups", found)
