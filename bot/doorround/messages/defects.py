"""Defects: assigned, reported as made good, looked at, reopened; and one person's list of work."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from doorround.domain.defects import Defect
from doorround.domain.people import Person
from doorround.domain.repairs import Refusal
from doorround.messages import buttons
from doorround.messages.people import MAX_NAME_QUOTED
from doorround.messages.phrasing import counted

NOT_YOURS = "Only its supervisors, or whoever has it, can do that."
DONE = ("adjusted", "tightened", "part replaced", "cleared away")
NO_PHOTO = ("a photo shows nothing of it", "no photos may be taken here")
REOPENED = ("it is not put right", "the wrong defect was closed")
LOOK_FIRST = "The door stays out of action until somebody has looked."
CLOSES_AT_CHECK = "It closes when somebody has looked, or a check finds it so."
CLOCK_NOT_IN_DOUBT = "The clock is not in doubt."
CLOCK_TRUSTED = (
    "Entered. What was signed by this clock now counts; what was signed ahead of it no longer does."
)
PHOTO_OR_WHY = "Is there a photo? Send it here, then tap the first button. If not, tap or type why."
DAY_OFF = "Has a day off."
NOTHING_WAITING = "Nothing is waiting."


def no_such_defect(id: int) -> str:
    return f"There is no defect {id} at your sites."


def gone(id: int, door: str, what: str, why: str) -> str:
    """A number that is no longer a defect's. why: its outcome."""
    return f"Defect {id}, door {door}, {what}: {why}. Nothing needs doing."


def checks_no_doors(name: str) -> str:
    """Somebody who cannot be assigned a defect at that site."""
    return f"Nobody called “{name[:MAX_NAME_QUOTED]}” checks doors at that site."


def given_to_you(defect: Defect, giver: str, by: date | None = None) -> str:
    """by: the date given with it."""
    about = f"door {defect.door[2]}, {defect.what}{_by(defect, by)}"
    return f"{giver} gave you defect {defect.id}: {about}."


def give_to_whom(defect: Defect) -> str:
    return f"{_named(defect)}{_by(defect)}: who is to have it?"


def given(defect: Defect, taker: str, by: date | None = None) -> str:
    """Sent to whoever assigned it. by: the date given with it."""
    return f"{taker} now has defect {defect.id}{_by(defect, by)}."


def _by(defect: Defect, given: date | None = None) -> str:
    due = given or defect.due
    return f", due by {due.day} {due:%B}" if due else ""


def already(defect: Defect) -> str:
    """Reported as made good, though it is not open."""
    return f"Defect {defect.id} is {defect.state} already."


def what_was_done(defect: Defect, command: str) -> str:
    """command: prefix for the person's own words."""
    return f"{_named(defect)}: what was done? Tap, or type it. (During a check: “{command}…”.)"


def made_good(defect: Defect, photo: bool) -> str:
    """photo: the last one sent is attached."""
    shown = " Your last photo goes with it." if photo else ""
    left = LOOK_FIRST if defect.out_of_action else CLOSES_AT_CHECK
    return f"Defect {defect.id} is noted as made good.{shown} {left}"


def made_good_by(defect: Defect, name: str, words: str) -> str:
    """Sent to whoever assigned it. words: what was done, by whoever made it good."""
    return f"{name} says that defect {defect.id} is made good: door {defect.door[2]}, {words}."


def did_you_look(defect: Defect) -> str:
    return f"{_named(defect)}: have you seen at the door that it is put right?"


def closed(defect: Defect) -> str:
    """Sent to whoever looked."""
    return f"Defect {defect.id} is closed: {defect.ended_by} made it good, you looked."


def closed_by_same(defect: Defect) -> str:
    """Sent to somebody who looked at their own repair."""
    return f"Defect {defect.id} is closed. You made it good and looked yourself: that is entered."


def why_reopened(defect: Defect) -> str:
    return f"{_named(defect)}: why is it reopened? Tap, or type why."


def reopened(defect: Defect) -> str:
    return f"Defect {defect.id} is open again."


def _named(defect: Defect) -> str:
    return f"Door {defect.door[2]}, {defect.what}"


# ---- refusals


def refused(
    why: Refusal,
    defect: Defect,
    person: str,
    by: date | None = None,
    today: date | None = None,
) -> str:
    """Why an action on a defect cannot be entered, and what to do. person: who did it; by: the
    requested date; today: local.
    """
    which = f"Defect {defect.id}"
    match why:
        case Refusal.DATE_PAST:
            return f"{_iso(by)} is past. Give a day from {_iso(today)} on."
        case Refusal.LATER_THAN_RULE:
            return (
                f"{which} is to be made good by {_iso(defect.by_rule)}: it is “{defect.severity}”."
                f" For {_iso(by)}, say why: “by {_iso(by)}: …”, or --why."
            )
        case Refusal.CLOSED:
            return (
                f"{which} is closed already, by {defect.ended_by}. To take that back: doorround"
                f' defects reopen {defect.id} --why "…", or “{buttons.reopen(defect.id)}”.'
            )
        case Refusal.NOTHING_SEEN:
            return f"{person} is not known here: say what was seen, with --how."
    return _REFUSED[why].format(which=which, id=defect.id, ended_by=defect.ended_by)


_REFUSED = {
    Refusal.OPEN_ALREADY: "{which} is open already.",
    Refusal.NO_REASON: "Say why defect {id} is to be reopened.",
    Refusal.NOT_MADE_GOOD: "{which} is open: nobody has said that it is made good.",
    Refusal.CLOSED_ALREADY: "{which} is closed already, by {ended_by}.",
    Refusal.MADE_GOOD_ALREADY: "{which} is made good already, by {ended_by}.",
    Refusal.NOT_SAID_WHAT: "Say what was done, such as: two screws replaced.",
    Refusal.NO_PHOTO: "Give a photo of it, or say why there is none.",
}


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""


def unknown_taker(name: str) -> str:
    return f"Nobody called {name} is known. See: doorround people list."


def unknown_doer(name: str, known: Sequence[str]) -> str:
    """Attributed to somebody unknown. name: "" if none was given."""
    first = f"Nobody called {name} is known." if name else "Say who does it: --person NAME."
    who = f"Known are {', '.join(known)}." if known else "Nobody is known yet."
    outside = 'Somebody from outside is named by firm and name: "Hale Joinery: Jo".'
    return f"{first} {who} {outside}"


# ---- one person's work


def person_head(person: Person) -> str:
    return f"{person.name}: {person.role}."


def left_alone(until: date) -> str:
    return f"No reminders until {until.isoformat()}."


def overdue(count: int, numbers: Sequence[str], more: bool) -> str:
    """Doors that somebody minds. numbers: the first of them. more: the list is incomplete."""
    return f"{counted(count, 'door')} overdue: {', '.join(numbers)}{' …' if more else ''}."


def has_defect(defect: Defect) -> str:
    return f"Has defect {defect.id}, door {defect.door[2]}: {defect.what}."
