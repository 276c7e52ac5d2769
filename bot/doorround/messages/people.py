"""People: access, invites, roles, groups, leaving, and handing over a round."""

from __future__ import annotations

from collections.abc import Sequence

from doorround.domain.invites import DAYS_OPEN, MESSAGE_DAYS, InviteEnd
from doorround.domain.people import Person

POLITE = (
    "This is doorround, for people who check fire doors here. If that is you, ask your supervisor"
    " for an invite."
)
UNKNOWN_CODE = "That code is not known here. Check it, or ask your supervisor for a new one."
SLOWED = "Too many wrong codes. Wait a while before the next one."
NO_INVITE_OPEN = "There is no invite open here. Send the code you were given."
AGREE_OR_NOT = "Do you agree to what I wrote? Tap one."
NOTHING_KEPT = "Nothing about you is kept. The invite stays open."
NO_LONGER_KNOWN = "You no longer have access here. What you entered stays."
NOBODY_ELSE = "There is nobody else."
WHO_IS_INVITED = "Who do you want to invite?"
WHOSE_ROLE = "Whose role do you want to change?"
WHO_LEAVES = "Who do you want to remove?"
WHO_TAKES_ROUND = "Who is taking your round?"
WHICH_SITE = "Which site is this group for?"
BIND_IN_GROUP = "Write that in the group that you want to bind: /bind SITE"
OWN_DATA = "Everything that is kept about you."
OWN_DATA_TOO_MUCH = (
    "Your data is too big for Telegram. Ask your supervisor for it: doorround people data."
)
EVERY_SITE = "every site"
NO_SITE_YET = "no door has a site yet"
MAX_NAME_QUOTED = 60


_CLOSED = {
    InviteEnd.USED: "That invite has been used already.",
    InviteEnd.TAKEN_BACK: "That invite was taken back.",
    InviteEnd.RUN_OUT: "That invite has run out.",
}


def invite_closed(end: InviteEnd) -> str:
    """Reply to its code."""
    return _CLOSED[end]


_NEXT = {
    "caretaker": "To begin a check, stand at a fire door and send its number, such as 14, or scan"
    " its label.",
    "supervisor": "To see how the doors stand, send: what is wrong.",
    "auditor": "To see what was answered at a door, send: answers of door 14.",
}
"""Next steps for somebody who has just joined, by role."""


def _a(role: str) -> str:
    return f"{'an' if role[0] in 'aeiou' else 'a'} {role}"


def consent(role: str, days: int) -> str:
    """What is stored about a person and for how long. days: retention of recordings of signed
    checks.
    """
    return (
        f"You are invited as {_a(role)}. What is stored: your name, this account's number, and"
        " each of your answers and photos with its time, in a logbook that is kept for good and"
        f" cannot be changed. Your voice notes are stored until {days} days after their check is"
        " signed; those from a check that was never signed stay. Messages, yours and mine, are"
        f" stored as they are for {MESSAGE_DAYS} days. The supervisor and auditors may see what is"
        " stored; /mydata gives you all that is yours. If you say no, nothing about you is kept."
        " Do you agree?"
    )


def welcome(name: str, role: str) -> str:
    """Sent once, with what to do next."""
    return f"Welcome, {name}. You are {_a(role)} here. {_NEXT.get(role, '')}".strip()


def joined(name: str, role: str) -> str:
    """Sent to whoever invited them."""
    return f"{name} joined as {_a(role)}, with your invite."


def known_already(role: str) -> str:
    """A code or an invite opened by somebody already known."""
    return f"You have access here already, as {_a(role)}."


def described(person: Person) -> str:
    """One person in a list: "Kim Vale: supervisor, Alder House"."""
    return f"{person.name}: {', '.join((person.role, *person.sites))}"


def invite_made(role: str, sites: Sequence[str]) -> str:
    """Above the code, which is a separate message. sites: none for all."""
    where = ", ".join(sites) or EVERY_SITE
    return f"For one {role}, {where}, valid for {DAYS_OPEN} days. Pass this on to that person only:"


def invitation(code: str, bot: str, link: str) -> str:
    """To be passed on. bot, link: of the bot; "" for none."""
    if not bot:
        return f"Your code for the door check bot: {code}"
    return f"Open this, or send the code to @{bot}:\n{link}\n{code}"


def which_role(person: Person) -> str:
    return f"{described(person)}. Which role instead?"


def role_needs_name(role: str) -> str:
    return f"Write it with a name: /role {role} NAME"


def your_role(role: str) -> str:
    return f"You are now {_a(role)} here. /help"


def role_changed(name: str, role: str) -> str:
    return f"{name} is now {_a(role)}."


def left(name: str) -> str:
    """A role for somebody who no longer has access."""
    return f"{name} has left. Make a new invite: doorround people invite."


def left_already(name: str) -> str:
    return f"{name} has left already."


def last_supervisor(site: str) -> str:
    """site: "" for all."""
    return f"Nobody else is supervisor of {site or EVERY_SITE}. Make somebody one first."


def leave_or_not(door: str) -> str:
    """door: whose check is open; "" for none."""
    first = f"Door {door} is not finished. " if door else ""
    return f"{first}Leave? You will need a new invite to come back."


def renamed(old: str, new: str) -> str:
    """A command was given by its old name."""
    return f"/{old} is called /{new} now. The old word works in this release and not in the next."


def remove_or_not(name: str, command: str) -> str:
    """command: the one to use."""
    line = f"Remove {name}? They will need a new invite to come back."
    return f"{line} Tap, or write: {command}"


def removed(name: str, door: str) -> str:
    """door: of the check they left open; "" for none."""
    left = f" Their check of door {door} is not finished." if door else ""
    return f"{name} is removed. What they entered stays.{left}"


def round_given(taker: str, door: str) -> str:
    """Sent to whoever gave their round away. door: of the check that goes with it; "" for none."""
    first = f", starting with door {door}" if door else ""
    return f"{taker} now has your round{first}."


def round_taken(giver: str) -> str:
    """Sent to whoever has it now."""
    return f"{giver}'s round is yours now."


def round_theirs_already(name: str) -> str:
    return f"{name} has that round already."


def may_check_no_doors(name: str, gone: bool) -> str:
    """gone: they used to have access."""
    return f"{name} may not check doors{' any more' if gone else ''}. Choose a caretaker."


def busy_at_door(name: str, door: str) -> str:
    """door: of the check they have to finish before taking over another."""
    return f"{name} is in the middle of door {door}. That has to be finished first."


def sites_widened(taker: str, giver: str, sites: Sequence[str]) -> str:
    """Sent to supervisors: somebody was given more sites. sites: none for all."""
    where = ", ".join(sites) or EVERY_SITE
    return f"{taker} took over {giver}'s round and now has {where}."


def nobody_called(name: str) -> str:
    return f"Nobody called “{name[:MAX_NAME_QUOTED]}” is known here."


def numbered(name: str, number: int) -> str:
    """One of several people with the same name."""
    return f"{name} is #{number}"


def called_alike(people: Sequence[str]) -> str:
    """people: each as formatted by numbered()."""
    each = ", ".join(people)
    return f"{len(people)} people are called that: {each}. Write the number instead of the name."


def other_sites(name: str) -> str:
    return f"{name} is at none of your sites."


def name_it(question: str, command: str, name: str) -> str:
    """Asks which person is meant, when there are too many for buttons."""
    return f"{question} Add the name: {command} {name}"


def not_your_site(words: str, sites: Sequence[str]) -> str:
    """words: the site that was named; "" for none. sites: theirs."""
    which = f"“{words[:MAX_NAME_QUOTED]}” isn't one" if words else "Say which"
    return f"{which} of your sites: {', '.join(filter(None, sites)) or NO_SITE_YET}."


def group_bound(site: str) -> str:
    """site: "" for one building."""
    where = site or "the building"
    return f"This group is bound to {where}. Only its supervisors' commands count here. /help"


def not_in_group(command: str) -> str:
    return f"Not in the group, please: send me /{command} in our own chat."


def no_such_command(command: str) -> str:
    """A command that does not exist, or is not available to this role."""
    return f"/{command} isn't a command that you can use here. /help"
