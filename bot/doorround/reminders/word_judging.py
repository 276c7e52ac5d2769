"""A fault in a caretaker's own words → each supervisor of the site, once, when the talk has moved
on.
"""

from __future__ import annotations

from datetime import datetime

from doorround.domain.check import Check, Stage
from doorround.domain.schedule.plan import Plan
from doorround.domain.unnamed_faults import to_be_judged
from doorround.logbook.alert_log import Alert, put_alert, supervisors_of
from doorround.logbook.defects import read_defects
from doorround.logbook.named_defects import in_own_words
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook
from doorround.messages import buttons, word_judging

WORDS = "words"


def tell_words_to_judge(
    logbook: Logbook, plan: Plan, check: Check, found_at: str, now: datetime
) -> int:
    """Send the faults at this check's door that a person has to judge. Returns the number of
    messages.

    Waits for the talk's next message, since the words may still be retracted; and for the end of
    quiet hours. found_at: local time.
    """
    gone_on = check.stage in (Stage.SIGNED, Stage.PAUSED, Stage.CANCELLED)
    sure = {
        name
        for key, each in check.answers.items()
        if (gone_on or key not in check.last) and to_be_judged(each.value)
        for name in (finding.rule for finding in check.findings[key])
    }
    if not sure:
        return 0
    door = check.door
    id = (door.site, door.building, door.number)
    sent = 0
    for defect in read_defects(logbook, plan.defects, door=door).at(id):
        rule = defect.finding.rule
        if rule not in sure or not in_own_words(defect):
            continue
        taps = (
            buttons.name_defect(defect.id),
            buttons.no_fault(defect.id),
            buttons.show_door(door.number),
        )
        body = Outgoing(word_judging.to_judge(defect, door, found_at), taps, reminder=WORDS)
        for name, chat in supervisors_of(logbook, door.site, "").items():
            key = "/".join(("words", *id, rule, str(defect.id), str(defect.reopened), name))
            alert = Alert(key, name, id, rule, "", check.id, defect.what, WORDS)
            sent += put_alert(logbook, alert, chat, body, now)
    return sent
