"""Help: at a question, and for each role in a messenger."""

from __future__ import annotations

from doorround.domain.checklist import Question
from doorround.domain.people import Role

ALWAYS = (
    "repeat · play that · go back · skip · help · undo · change hinges · cannot check · note ·"
    " pause · finish · cancel"
)
BEGIN_CARETAKER = "Say or type which door you are at, or scan its label. At a question, say “help”."
BEGIN_SUPERVISOR = (
    "You can check doors, and say who else can. Ask, by voice or typing: what is due · who is late"
    " · what is wrong on floor two · show door 14 · summary."
)
BEGIN_CONTRACTOR = "Your name stands here with what you repaired. You don't check doors."
BEGIN_AUDITOR = (
    "You can read, but not check doors. Send a door's number, or scan its label. Type: what is"
    " due ·"
    " who is late · what is wrong · summary."
)
DOES_DOOR = "which door I am at"
DOES_NEXT = "the next door that is due"
DOES_LOOK = "a door's last checks and open defects"
DOES_ALOUD = "read the questions aloud, or stop that"
DOES_HANDOVER = "hand my round, with the open check, to NAME"
DOES_PEOPLE = "who is known here"
DOES_INVITE = "a code for one new person; without SITE for all of mine"
DOES_ROLE = "give NAME another role"
DOES_REMOVE = "NAME no longer has access here"
DOES_BIND = "in a group: bind it to SITE"
DOES_MYDATA = "everything that is kept about me, as a file"
DOES_LEAVE = "give up my access here"
DOES_HELP = "this list"


def full_help(question: Question) -> str:
    """At a question for which somebody asked for help."""
    return f"{question.help} For example: {question.example}."


def options(question: Question | None) -> str:
    """What can be said here, and at any time."""
    here = f"Here: {' · '.join(question.taps)}. " if question else ""
    return f"{here}Always: {ALWAYS}."


def role_help(role: Role) -> str:
    """First line of a role's help; its commands follow, one per line."""
    return {
        Role.CARETAKER: BEGIN_CARETAKER,
        Role.SUPERVISOR: BEGIN_SUPERVISOR,
        Role.AUDITOR: BEGIN_AUDITOR,
        Role.CONTRACTOR: BEGIN_CONTRACTOR,
    }[role]


def group_help(site: str) -> str:
    """First line of the help in a group bound to a site; "" for one building."""
    return f"Commands that I take here from supervisors of {site or 'this building'}:"


def command_line(command: str, does: str) -> str:
    """One command in the help. command: "/role ROLE NAME"."""
    return f"{command} – {does}"
