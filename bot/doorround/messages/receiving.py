"""Receiving: what came in a messenger late, forwarded, changed or not at all; and what keeps the
bot from taking it."""

from __future__ import annotations

STALE_BUTTON = "That button belongs to an earlier question."
NONE_OF_THESE = "I take voice notes, photos, typing and buttons. That was none of them."
VOICE_NOTE_LATE = (
    "Your earlier voice note came only now; the talk has moved on. It is kept. Say it again if it"
    " still matters."
)
IN_LINE = (
    "Your voice note is kept and is heard in its turn, which takes a moment. You need not send it"
    " again."
)
FORWARDED = (
    "That was forwarded, so I do not take it for your own words. Say, type or tap it yourself."
)
EDIT_OF_NO_ANSWER = (
    "That message gave no answer, so changing it changes nothing. Send what you want to say as a"
    " new message."
)
EDIT_TOO_LATE = (
    "That check is closed, so what it says stays. Say what is different at the door's next check."
)
ONLY_TYPED_WORDS = "Only typed words can be changed. Say it anew: “no, two”, or “change hinges”."
REPLY_TOO_LATE = "That question belongs to a check that is closed: what stands there stays."
NOT_ASKED_ANY_MORE = "That question is not asked of this door any more."
READ_BACK_EARLIER = "That was read back earlier; this is what is open now."
NOT_KNOWN = (
    "Good day. This bot works for the people of one building only. Ask your supervisor for an"
    " invitation."
)
NO_LABELS = (
    "I cannot read labels just now. Say or type the door's number, and tell your supervisor."
)
FAILED = "Something went wrong here with what you sent. It is kept, but not entered. Send it again."
SET_ASIDE = (
    "I could not work out what you sent, at two tries. It is set aside and not entered. Send it"
    " once more, or say it in another way."
)
DISK_FULL = (
    "The disk here is full: I cannot keep what you sent. It is not lost, I take it by itself once"
    " there is room. You need not send it again. Tell your supervisor."
)
LOGBOOK_LOCKED = (
    "I cannot write into the logbook just now. What you sent is not lost, I take it by itself as"
    " soon as I can. You need not send it again."
)
RECORDING_TOO_BIG = "That recording is too big to fetch. Send a shorter one, or tap."
RECORDING_GONE = "Telegram did not give me that recording. Send it again, or tap."
RECORDING_LATER = (
    "Telegram does not give me that recording now. I try again by myself; until then, tap or type."
)
CLIP_GONE = "The recording is gone."
ANOTHER_DOOR = "Another door came in between."
NO_DOOR_OPEN = "No door is open. Say which door you are at."


def out_of_reach(since: str, lost: str) -> str:
    """After a long time without the messenger. lost: what was sent before that may be missing."""
    return (
        f"I was out of reach since {since}. What was sent before {lost} may be missing: see your"
        " last answers."
    )


def check_open(door: str) -> str:
    """Another door was asked for, or the same, while this one's check is open; it follows."""
    return f"Door {door} is not finished. Go on here:"


def check_open_elsewhere(door: str, wanted: str) -> str:
    """The same where the label of another door was scanned."""
    line = f"Door {door} is not finished."
    return f"{line} Go on here, or say “finish” or “cancel”; then scan door {wanted} again."
