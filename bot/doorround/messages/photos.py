"""Photos: stored on their own, outside any question of a check; and why one was not stored."""

from __future__ import annotations

UNREADABLE = (
    "I can't read that picture, so it is not kept. Send it again, as a photo and not as a file."
)
DAMAGED = "That picture is damaged or was cut off on its way, so it is not kept. Send it again."
TOO_LARGE = (
    "That picture has too many pixels, so it is not kept. Send it as a photo, not as a file."
)
NOT_WORKED_OUT = (
    "I couldn't make anything of that picture, so it is not kept. Send it again, as a photo and not"
    " as a file."
)
TOO_BIG = "That picture is too big to fetch, so it is not kept. Send it as a photo, not as a file."
GONE = "I couldn't get that picture from Telegram, so it is not kept. Send it again."
LATER = "I can't get that picture from Telegram yet. I'll keep trying; carry on meanwhile."


def kept_alone(count: int) -> str:
    """Photos sent while no check is open."""
    return (
        f"No check is open, so {_kept(count)}. Say which door you are at: photos sent after that"
        " go with its questions."
    )


def kept_forwarded(count: int) -> str:
    """Photos that may have been taken by somebody else, anywhere."""
    return f"That was forwarded and may be of another door, so {_kept(count)}. Take one here."


def kept_late(count: int) -> str:
    """Photos that arrived when another question was open."""
    late = "That photo has" if count == 1 else "Those photos have"
    return f"{late} only just come in, and the check has moved on, so {_kept(count)}."


def kept_closed(count: int) -> str:
    """Photos sent in reply to a question of a closed check."""
    return f"That check is closed and stays as it is; {_kept(count)}."


def _kept(count: int) -> str:
    return "the photo is kept on its own" if count == 1 else f"{count} photos are kept on their own"
