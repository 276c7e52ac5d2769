"""A person's own work: defects that they found or were assigned, and checks that they paused."""

from __future__ import annotations

from datetime import date

from doorround.channels.messenger.results import Reply, tell
from doorround.dialogue.check_summary import how_far
from doorround.domain.defects import by_urgency
from doorround.domain.schedule.rota import Rota
from doorround.logbook.defects import Defects
from doorround.logbook.open_checks import open_checks
from doorround.logbook.store import Logbook
from doorround.messages import buttons, query_answers

MAX_TAPS = 6
"""Maximum number of defects and doors shown as buttons."""


def own_defects(found: Defects, rota: Rota, name: str, today: date) -> Reply:
    """Open defects that somebody found or was assigned, or stands in for, most urgent first."""
    mine = [
        each
        for each in by_urgency(found.open)
        if each.found_by == name or rota.sees_to(name, each.given_to, each.door[0], today)
    ]
    if not mine:
        return tell(query_answers.NO_DEFECT_OF_YOURS)
    lines = [query_answers.own_defects(len(mine))]
    lines += [query_answers.defect_line(each, today) for each in mine]
    return tell("\n".join(lines), taps=tuple(buttons.defect(each.id) for each in mine[:MAX_TAPS]))


def paused_checks(logbook: Logbook, name: str) -> Reply:
    """Somebody's checks put aside for another door, and the open one."""
    theirs = sorted(open_checks(logbook, name), key=lambda each: each.aside)
    if not theirs:
        return tell(query_answers.NONE_PAUSED)
    lines = [
        query_answers.open_check_line(each.check.door.number, *how_far(each.check), each.aside)
        for each in theirs
    ]
    aside = [each.check.door.number for each in theirs if each.aside]
    return tell("\n".join(lines), taps=tuple(buttons.door(number) for number in aside[:MAX_TAPS]))
