"""The offer of meanings that the last message made: its buttons can be chosen by number.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.unread_words import offered_words
from doorround.domain.check import Check


def current_offer(check: Check) -> tuple[str, ...]:
    """The buttons of that offer, in order; () if the last message made none. An earlier offer still
    stands, but later messages have buttons of their own, to which a number would refer.
    """
    labels = offered_words(check)
    last = check.said[-1].taps if check.said else ()
    return last if labels and last[: len(labels)] == labels else ()
