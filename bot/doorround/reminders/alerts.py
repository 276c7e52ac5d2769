"""Danger alerts: a finding → each supervisor of the site → the outbox, at once and only once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from doorround.domain.alerts import (
    SILENCE,
    TOO_OLD,
    Reach,
    dangers,
    reported_dangers,
    rules_made_good,
    sure_dangers,
)
from doorround.domain.check import Check
from doorround.domain.defects import Defect
from doorround.domain.door import Door
from doorround.domain.parts import fault_with_part
from doorround.domain.schedule.due import DoorId
from doorround.domain.schedule.plan import Plan
from doorround.logbook.alert_log import (
    ALERT,
    GROUP,
    REPORTED,
    TAKEN_BACK,
    Alert,
    alerts_at,
    chats_to_tell,
    found_since,
    put_alert,
    put_photo,
    reach_of,
    reported_at,
    talks_left_waiting,
    talks_with_reports,
)
from doorround.logbook.attachments import photos_of_question
from doorround.logbook.defects import read_defects
from doorround.logbook.open_checks import readable_check
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook
from doorround.logbook.unconfirmed import enter_waiting
from doorround.messages import alerts, buttons
from doorround.reminders.word_judging import tell_words_to_judge


@dataclass
class Alerts:
    """Runs after each turn of a talk and every minute. Its memory is only a cache: keys in the
    logbook prevent duplicate alerts.
    """

    logbook: Logbook
    plan: Plan
    _looked_until: int = field(default=0, init=False)

    def after_turn(self, check: Check, now: datetime) -> int:
        """Send what is certain by now, and retractions of what was sent.

        Returns the number of messages.
        """
        sure = sure_dangers(check)
        id = _id(check.door)
        before = [each for each in alerts_at(self.logbook, id) if each.check == check.id]
        sent = self._take_back(check, before, now) if before else 0
        sent += self._tell_reported(check, now)
        sent += tell_words_to_judge(self.logbook, self.plan, check, self._local(now, now), now)
        sent += self._tell(check.door, sure, check.id, now) if sure else 0
        return sent + (self._show_photos(check, now) if dangers(check) else 0)

    def reach(self, check: Check, now: datetime) -> Reach:
        """Recipients for dangers at that check's door."""
        local = now.astimezone(ZoneInfo(self.logbook.zone)).time()
        at_once = self.plan.danger_breaks_quiet or not self.plan.quiet(local)
        id = _id(check.door)
        earlier = set[str]()
        before = [each for each in alerts_at(self.logbook, id) if each.check != check.id]
        if before:
            for defect in read_defects(self.logbook, self.plan.defects, door=check.door).at(id):
                if defect.danger and _was_alerted(defect, before):
                    earlier.add(defect.finding.rule)
        return reach_of(self.logbook, check.door.site, check.person, at_once, frozenset(earlier))

    def tick(self, now: datetime) -> int:
        """Send findings that have stood long enough without being sent: the talk stopped, or no
        messenger was available.
        """
        sent = 0
        waiting = list[int]()
        for found in found_since(self.logbook, self._looked_until):
            if now - found.at < SILENCE:
                waiting.append(found.seq)
            elif now - found.at < TOO_OLD:
                site, building, number = found.door
                sent += self._tell(
                    self.logbook.door(number, site, building), (found.rule,), found.check, now
                )
            self._looked_until = max(self._looked_until, found.seq)
        if waiting:
            self._looked_until = min(waiting) - 1
        for talk, moved in talks_left_waiting(self.logbook, now - SILENCE):
            enter_waiting(self.logbook, talk, moved, now)
        for talk in talks_with_reports(self.logbook, now - TOO_OLD, now - SILENCE):
            if check := readable_check(self.logbook, talk):
                sent += self._tell_reported(check, now)
        return sent

    def _tell(self, door: Door, rules: Iterable[str], check: str, now: datetime) -> int:
        id = _id(door)
        wanted = set(rules)
        open_now = read_defects(self.logbook, self.plan.defects, door=door).at(id)
        defects = [each for each in open_now if each.danger and each.finding.rule in wanted]
        before = alerts_at(self.logbook, id) if defects else []
        return sum(self._tell_all(each, door, before, check, now) for each in defects)

    def _tell_all(
        self, defect: Defect, door: Door, before: list[Alert], check: str, now: datetime
    ) -> int:
        rule = defect.finding.rule
        id = defect.door
        turn = _round(defect, before)
        if _was_alerted(defect, before):
            return 0
        text = alerts.alert_text(defect, door, self._found_at(defect, now))
        taps = (buttons.defect(defect.id), buttons.show_door(door.number))
        body = self._body(text, taps)
        sent = 0
        for name, chat in self._chats_to_tell(id[0], defect.seen_by).items():
            key = "/".join(("alarm", *id, rule, turn, name))
            alert = Alert(key, name, id, rule, turn, check, defect.what)
            sent += put_alert(self.logbook, alert, chat, _for(name, body), now)
        return sent

    def _chats_to_tell(self, site: str, but: str) -> dict[str, str]:
        return chats_to_tell(self.logbook, site, but, self.plan.alerts_to_group)

    def _show_photos(self, check: Check, now: datetime) -> int:
        """Send photos of the dangers reported at this check, whenever they arrive."""
        sent = 0
        standing = dangers(check)
        chats = self._chats_to_tell(check.door.site, "")
        for each in alerts_at(self.logbook, _id(check.door)):
            found = standing.get(each.rule)
            if (each.check, each.what) != (check.id, ALERT) or found is None:
                continue
            for photo in photos_of_question(self.logbook, check.id, found.question):
                line = alerts.photo_of(check.door.number, each.words, photo.person)
                body = replace(self._body(line), photo=photo.sha256)
                if chat := chats.get(each.name):
                    sent += put_photo(self.logbook, each, photo.sha256, chat, body, now)
        return sent

    def _tell_reported(self, check: Check, now: datetime) -> int:
        """A danger read back and left without a yes or a no is sent marked as such, once
        per check.
        """
        id = _id(check.door)
        sent = 0
        for rule, finding in reported_dangers(check).items():
            backs = sum(
                each.check == check.id and each.rule == rule and each.what == TAKEN_BACK
                for each in alerts_at(self.logbook, id)
            )
            turn = f"{check.id}.{backs}"
            what = fault_with_part(finding.component, finding.what, finding.face)
            at = reported_at(self.logbook, check.id, finding.question) or now
            text = alerts.reported_text(finding, check.door, check.person, self._local(at, now))
            body = self._body(text, (buttons.show_door(check.door.number),))
            for name, chat in self._chats_to_tell(id[0], check.person).items():
                key = "/".join(("alarm", *id, rule, turn, name))
                sent += put_alert(
                    self.logbook,
                    Alert(key, name, id, rule, turn, check.id, what, REPORTED),
                    chat,
                    _for(name, body),
                    now,
                )
        return sent

    def _found_at(self, defect: Defect, now: datetime) -> str:
        """When the answer was sent, by the site's clock: a phone or the bot may have been without a
        network since.
        """
        return self._local(defect.seen_at or now, now)

    def _local(self, at: datetime, now: datetime) -> str:
        zone = ZoneInfo(self.logbook.zone)
        found = at.astimezone(zone)
        day = "" if found.date() == now.astimezone(zone).date() else f"{found.day} {found:%B} "
        return f"{day}{found:%H:%M}"

    def _take_back(self, check: Check, before: list[Alert], now: datetime) -> int:
        """One line to the recipients of an alert that no longer stands."""
        standing = {**dangers(check), **reported_dangers(check)}
        mended = rules_made_good(check)
        sent = 0
        sure = {(each.rule, each.name) for each in before if each.what == ALERT}
        chats = self._chats_to_tell(check.door.site, "")
        gone = {each.key for each in before if each.what == TAKEN_BACK}
        for each in before:
            key = f"{each.key}/back"
            if (
                each.what == TAKEN_BACK
                or each.rule in standing
                or key in gone
                or each.name not in chats
            ):
                continue
            if each.what == REPORTED and (each.rule, each.name) in sure:
                continue
            words_for = alerts.danger_made_good if each.rule in mended else alerts.taken_back
            words = words_for(check.door.number, check.person, each.words)
            back = Alert(
                key, each.name, each.door, each.rule, each.round, check.id, each.words, TAKEN_BACK
            )
            sent += put_alert(self.logbook, back, chats[each.name], self._body(words), now)
        return sent

    def _body(self, text: str, taps: tuple[str, ...] = ()) -> Outgoing:
        return Outgoing(text, taps, reminder=None if self.plan.danger_breaks_quiet else ALERT)


def _for(name: str, body: Outgoing) -> Outgoing:
    """A message for a recipient; in a group, no buttons with commands."""
    return replace(body, taps=()) if name.startswith(GROUP) else body


def _round(defect: Defect, before: list[Alert]) -> str:
    """Occurrence number of this danger: counts reopenings of the defect and retractions."""
    backs = {
        each.round
        for each in before
        if each.rule == defect.finding.rule and each.what == TAKEN_BACK
    }
    return f"{defect.reopened}.{len(backs)}"


def _was_alerted(defect: Defect, before: list[Alert]) -> bool:
    rule = defect.finding.rule
    turn = _round(defect, before)
    return any(each.rule == rule and each.round == turn and each.what == ALERT for each in before)


def _id(door: Door) -> DoorId:
    return door.site, door.building, door.number
