"""Receiving: messages that were late, forwarded, edited or unusable; and why the bot cannot accept
them.
"""

from __future__ import annotations

from doorround.messages.phrasing import shortened

STALE_BUTTON = "That button belongs to an earlier question."
NONE_OF_THESE = "I take voice notes, photos, typing and buttons. That was none of them."
VOICE_NOTE_LATE = (
    "Your earlier voice note has only just come in, and the check has moved on. It is kept. Say"
    " it again if it"
    " still matters."
)
IN_LINE = "Your voice note is kept and waits its turn. No need to send it again."
FORWARDED = (
    "That was forwarded, so I don't take it as your own words. Say, type or tap it yourself."
)
FORWARDED_ORDER = "That was forwarded, so it is neither a command nor a yes. Say it now."
EDIT_OF_NO_ANSWER = (
    "That message gave no answer, so editing it changes nothing. Send what you want to say as a"
    " new message."
)
EDIT_ASKED_LATER = f"{EDIT_OF_NO_ANSWER} If you don't, I'll ask about it before you sign."
EDIT_TOO_LATE = (
    "That check is closed, so its answers stay. Say what is different at the door's next check."
)
ONLY_TYPED_WORDS = "Only typed words can be edited. Say it again: “no, two”, or “change hinges”."
REPLY_TOO_LATE = "That question belongs to a check that is closed: its answer stays."
NOT_ASKED_ANY_MORE = "That question is no longer asked about this door."
SENT_BEFORE = "You may have sent that before you saw this, so I don't count it."
SENT_BEFORE_SUMMARY = "You may have sent that before you saw the summary. Nothing is signed yet."
READ_BACK_EARLIER = "I read that back earlier; this is what is open now."
NOT_KNOWN = (
    "Good day. This bot is for the people of one building only. Ask your supervisor for an invite."
)
NO_LABELS = "I can't read labels just now. Say or type the door's number, and tell your supervisor."
FAILED = "Something went wrong here with what you sent. It is kept, but not entered. Send it again."
SET_ASIDE = (
    "I couldn't make anything of what you sent, after two tries. It is set aside and not entered."
    " Send it"
    " once more, or say it another way."
)
DISK_FULL = (
    "The disk here is full, so I can't keep what you sent. It is not lost: I'll take it once there"
    " is room. No need to send it again. Tell your supervisor."
)
LOGBOOK_LOCKED = (
    "I can't write to the logbook just now. What you sent is not lost: I'll take it as soon as I"
    " can. No need to send it again."
)
RECORDING_TOO_BIG = "That recording is too big to fetch. Send a shorter one, or tap."
RECORDING_GONE = "I couldn't get that recording from Telegram. Send it again, or tap."
RECORDING_LATER = (
    "I can't get that recording from Telegram yet. I'll keep trying; until then, tap or type."
)
CLIP_GONE = "The recording is gone."
ANOTHER_DOOR = "A check was handed over to you just then. Say that again."
GONE_ELSEWHERE = "That check isn't open here any more, so this answered nothing."
NO_DOOR_OPEN = "No door is open. Say which door you are at."


def out_of_reach(since: str, lost: str) -> str:
    """After a long time without contact with the messenger. lost: messages sent before that may be
    missing.
    """
    return (
        f"I was offline from {since}. What was sent before {lost} may be missing: check your"
        " last answers."
    )


def clock_in_doubt(why: str, signed: bool) -> str:
    """why: what is wrong with the clock. signed: a check has just been signed in that state."""
    counts = "This check moves no due date" if signed else "No check moves a due date"
    return f"The clock is in doubt: {why}. {counts} until a supervisor has seen to it."


def check_open(door: str) -> str:
    """Another door, or the same, was asked for while this one's check is open; it continues."""
    return f"Door {door} is not finished. Carry on here:"


def check_open_elsewhere(door: str, wanted: str) -> str:
    """The same when the label of another door was scanned."""
    line = f"Door {door} is not finished."
    return f"{line} Carry on here, or say “another door”, then scan door {wanted} again."


def check_open_look(door: str, wanted: str) -> str:
    """The same when somebody wants to look at a repair. wanted: as they asked for it."""
    line = f"Door {door} is not finished."
    return f"{line} Carry on here, or say “another door”, then “{wanted}”."


def no_file(path: str) -> str:
    """Path of a non-existent voice file, typed in the terminal."""
    return f"There is no file {shortened(path)}. Check its path; nothing was entered."


def no_sound(path: str) -> str:
    """A file that is not a recording, likewise."""
    return f"{path} is not a voice file. Give a recording, such as one that ends in .ogg or .wav."


def no_button(place: str, count: int) -> str:
    """A non-existent button number, likewise. count: number of buttons."""
    if not count:
        return f"There is no button {place} here. Type the answer."
    here = ":1" if count == 1 else f":1 to :{count}"
    return f"There is no button {place} here. They are {here}; nothing was entered."
