"""Photos: kept by themselves, with no question of a check; and why one was not kept."""

from __future__ import annotations

UNREADABLE = (
    "I cannot read that picture; it is not kept. Send it again, as a photo and not as a file."
)
DAMAGED = "That picture is damaged or was cut off on its way; it is not kept. Send it again."
TOO_LARGE = "That picture has too many pixels; it is not kept. Send it as a photo, not as a file."
NOT_WORKED_OUT = (
    "I could not work that picture out; it is not kept. Send it once more, as a photo and not as a"
    " file."
)
TOO_BIG = "That picture is too big to fetch; it is not kept. Send it as a photo, not as a file."
GONE = "Telegram did not give me that picture; it is not kept. Send it again."
LATER = "Telegram does not give me that picture now. I try again by myself; go on meanwhile."


def kept_alone(count: int) -> str:
    """Photos sent while no check is open."""
    return (
        f"No check is open, so {_kept(count)}. Say which door you are at: photos sent then go with"
        " its questions."
    )


def kept_forwarded(count: int) -> str:
    """Photos that somebody else may have taken, anywhere."""
    return (
        f"That was forwarded, so {_kept(count)}, as evidence of nothing here. Take one at the door."
    )


def kept_late(count: int) -> str:
    """Photos that came when another question was open."""
    return f"That photo came only now; the talk has moved on, so {_kept(count)}."


def kept_closed(count: int) -> str:
    """Photos sent in reply to a question of a closed check."""
    return f"That check is closed and stays as it is; {_kept(count)}."


def _kept(count: int) -> str:
    return f"{'the photo is' if count == 1 else f'{count} photos are'} kept by itself"
