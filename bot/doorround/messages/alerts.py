"""Alerts: a danger reported to the supervisors at once, and its outcome."""

from __future__ import annotations

import re

from doorround.domain.defects import Defect
from doorround.domain.door import Door
from doorround.domain.findings import Finding
from doorround.domain.parts import fault_with_part
from doorround.messages.summaries import SHORT_CAUTION

# only possible for somebody standing at the door
_TELL = re.compile(
    r"(?:,? (?:and|else)) tell the supervisor at once\b|\btell the supervisor at once[;.]? *", re.I
)


def alert_text(defect: Defect, door: Door, found_at: str) -> str:
    """Door, fault, what to do, who found it. found_at: local time."""
    where = f", {door.where}" if door.where else ""
    site = f", {door.site}" if door.site else ""
    do_now = for_supervisors(defect.finding.do_now)
    lines = [
        f"⚠️ ACT NOW: door {door.number}{where}{site}",
        f"{defect.what[:1].upper()}{defect.what[1:]}.",
    ]
    lines += [do_now] if do_now else []
    return "\n".join(
        (
            *lines,
            f"Found by {defect.seen_by}, {found_at}. The door is out of action until it is fit"
            " again.",
            SHORT_CAUTION,
        )
    )


def reported_text(finding: Finding, door: Door, person: str, at: str) -> str:
    """The same for a danger that nobody has confirmed. at: local time."""
    where = f", {door.where}" if door.where else ""
    site = f", {door.site}" if door.site else ""
    what = fault_with_part(finding.component, finding.what, finding.face)
    lines = [
        f"⚠️ REPORTED, NOT CONFIRMED: door {door.number}{where}{site}",
        f"{what[:1].upper()}{what[1:]}.",
    ]
    do_now = for_supervisors(finding.do_now)
    lines += [f"If so: {do_now}"] if do_now else []
    reported = f"Reported by {person}, {at}, who has not said yes or no to it yet."
    return "\n".join((*lines, reported, SHORT_CAUTION))


def for_supervisors(do_now: str) -> str:
    """What to do at once, without the instruction to tell the recipients themselves."""
    left = _TELL.sub("", do_now).strip()
    return left[:1].upper() + left[1:]


def photo_of(door: str, what: str, person: str) -> str:
    """Caption of a photo of a reported danger."""
    return f"Door {door}, {what}. Photo by {person}."


def danger_made_good(door: str, person: str, what: str) -> str:
    """A danger that was put right on the spot."""
    return f"Door {door}: {what}. {person} has put that right on the spot."


def taken_back(door: str, person: str, what: str) -> str:
    """A danger that was misheard, or was not one."""
    return f"Door {door}: {what}. {person} has taken that back."
