"""Queries and commands in a chat: "what is due", "who is late", "show door 14", "what is wrong on
floor two", "summary". Pure.

By voice only while no check is open, from grammar/asked.jsgf; typed at any time in the same words,
as a test ensures.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from doorround.domain.schedule.day_input import read_day
from doorround.english.floors import same_floor
from doorround.english.queries import FLOOR, IS, SHOW, TEXT


class QueryKind(StrEnum):
    """What may be asked or commanded in a chat while no check is open."""

    DUE = "what is due"
    LATE = "who is late"
    DOOR = "show door"
    WRONG = "what is wrong"
    SUMMARY = "summary"
    DEFECT = "defect"
    ANSWERS = "answers of door"
    PERSON = "show person"
    GIVE = "give defect"
    MENDED = "made good"
    LOOKED = "looked at"
    LOOK = "look at"
    LOOKS = "repairs to look at"
    CHANGE = "change door"
    REOPEN = "reopen defect"
    NAME = "name defect"
    RENAME = "rename defect"
    NO_FAULT = "no fault"
    KEEP_WORDS = "keep words"
    SNOOZE = "snooze"
    OFF = "off until"
    CLOCK = "the clock is right"
    MINE = "my defects"
    PAUSED = "what is paused"


READS = (
    QueryKind.DUE,
    QueryKind.LATE,
    QueryKind.DOOR,
    QueryKind.WRONG,
    QueryKind.SUMMARY,
    QueryKind.DEFECT,
    QueryKind.ANSWERS,
    QueryKind.PERSON,
    QueryKind.MINE,
    QueryKind.PAUSED,
)
MAX_LENGTH = 600
"""Maximum length of a query in characters, with room to spare: a name has up to 60, an action on a
defect takes a sentence or two.
"""
JUDGES = (QueryKind.NAME, QueryKind.RENAME, QueryKind.NO_FAULT, QueryKind.KEEP_WORDS)
"""Supervisor's actions on a fault in somebody's own words."""
BEGINS = (QueryKind.LOOK, QueryKind.LOOKS, QueryKind.CHANGE)
"""These start a short visit, or ask which door: to look at repairs or change the register."""
DOES = (
    QueryKind.GIVE,
    QueryKind.MENDED,
    QueryKind.LOOKED,
    QueryKind.REOPEN,
    QueryKind.CLOCK,
    *JUDGES,
)
"""Commands that change something: an old button for one is ignored."""


@dataclass(frozen=True)
class Query:
    """what; number: of a door or a defect, or days of a snooze. floor: its words; "" for every
    floor. every: of a summary, "daily", "weekly" or "monthly". name: of a person, lower case except
    in "firm: name"; for a look, what the number refers to. sure: it was confirmed by repeating.
    text: what was done, or why, as written.
    """

    what: QueryKind
    number: str = ""
    floor: str = ""
    until: date | None = None
    every: str = ""
    name: str = ""
    sure: bool = False
    text: str = ""


_PATTERNS: tuple[tuple[QueryKind, str], ...] = (
    (QueryKind.DUE, rf"(?:{IS}|which doors are) due(?: today| this week)?|(?:the )?due list"),
    (QueryKind.LATE, rf"(?:who is|who's|whos) late|{IS} (?:late|overdue)"),
    (
        QueryKind.DOOR,
        rf"(?:{SHOW}|{IS} wrong (?:at|with)) (?:(?:the )?door|door number)"
        r" (?P<number>[\w./-]{1,20})",
    ),
    (QueryKind.WRONG, rf"(?:{IS} wrong|(?:show (?:me )?)?open defects|defects)(?: {FLOOR})?"),
    (
        QueryKind.SUMMARY,
        r"(?:(?:show(?: me)?|give me) )?(?:the )?(?:(?P<every>daily|weekly|monthly) )?summary",
    ),
    (QueryKind.MINE, r"(?:show (?:me )?)?my (?:open )?defects"),
    (QueryKind.PAUSED, rf"{IS} paused|(?:my )?paused checks"),
    (QueryKind.DEFECT, r"(?:show )?defect (?P<number>\d{1,9})"),
    (
        QueryKind.ANSWERS,
        r"(?:show )?(?:the )?answers (?:of|at|for) (?:the )?door (?P<number>[\w./-]{1,20})",
    ),
    (QueryKind.PERSON, r"show person (?P<name>.{1,60})"),
    (
        QueryKind.GIVE,
        r"give defect (?P<number>\d{1,9})(?: to (?P<name>.{1,120}?))?"
        rf"(?: by (?P<until>\d{{4}}-\d{{2}}-\d{{2}}){TEXT})?",
    ),
    (QueryKind.MENDED, rf"defect (?P<number>\d{{1,9}}) (?:is |was )?made good(?: yes)?{TEXT}"),
    (QueryKind.LOOKED, r"defect (?P<number>\d{1,9}) (?:is |was )?looked at(?P<sure> yes)?"),
    (
        QueryKind.LOOK,
        r"look at (?:(?:the |a )?repairs? (?:at|of) )?(?:(?:the )?(?P<name>door|defect))"
        r"(?: number)? (?P<number>[\w./-]{1,20})",
    ),
    (
        QueryKind.LOOKS,
        r"look at (?:(?:the|a) )?repairs?|(?:show (?:me )?)?(?:the )?repairs to look at",
    ),
    (QueryKind.REOPEN, rf"reopen defect (?P<number>\d{{1,9}}){TEXT}"),
    (QueryKind.NO_FAULT, rf"defect (?P<number>\d{{1,9}}) is (?:no fault|not a fault|none){TEXT}"),
    (QueryKind.KEEP_WORDS, rf"keep the words of defect (?P<number>\d{{1,9}}){TEXT}"),
    (QueryKind.RENAME, rf"rename defect (?P<number>\d{{1,9}}){TEXT}"),
    (QueryKind.NAME, r"name defect (?P<number>\d{1,9})"),
    (QueryKind.NAME, r"defect (?P<number>\d{1,9}) is(?: an?)? (?P<text>.{1,120})"),
    (QueryKind.CLOCK, r"(?:the )?clock is right"),
    (QueryKind.SNOOZE, r"snooze(?: (?:for )?(?P<number>[1-9]) days?)?"),
    (
        QueryKind.OFF,
        r"(?:i am |i'm )?(?:off|away) until (?P<until>\d{4}-\d{2}-\d{2})"
        r"(?:[,:;] ?(?P<name>.{1,60}))?",
    ),
)


def read_query(text: str) -> Query | None:
    """Parse a message as a query; None if it is not one.

    Every word must match.
    """
    if len(text) > MAX_LENGTH:
        return None
    words = " ".join(text.replace("’", "'").strip(" ?!.").split())
    for what, pattern in _PATTERNS:
        found = re.fullmatch(pattern, words, re.IGNORECASE)
        if found:
            said = {name: value for name, value in found.groupdict().items() if value}
            parts = {name: value.lower() for name, value in said.items()}
            if what is QueryKind.GIVE and ":" in parts.get("name", ""):
                parts["name"] = said["name"]
            try:
                until = read_day(parts["until"]) if "until" in parts else None
            except ValueError:
                return None
            every = parts.get("every", "daily") if what is QueryKind.SUMMARY else ""
            named = (
                parts.get("number", ""),
                parts.get("floor", ""),
                until,
                every,
                parts.get("name", ""),
            )
            return Query(what, *named, "sure" in parts, said.get("text", ""))
    return None


def on_floor(asked: Query, floor: str) -> bool:
    """Whether a door's floor is the one asked for."""
    return not asked.floor or same_floor(floor, asked.floor)
