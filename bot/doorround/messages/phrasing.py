"""Building blocks of messages: quotes, counts. Nothing here is a message by itself."""

from __future__ import annotations

MAX_QUOTED = 60


def shortened(words: str) -> str:
    """Words quoted back, shortened if long."""
    return words if len(words) <= MAX_QUOTED else f"{words[:MAX_QUOTED].rstrip()} …"


def quoted(words: str) -> str:
    """Somebody's own words, shortened, in quotation marks."""
    return f"“{shortened(words)}”"


def counted(number: int, thing: str) -> str:
    """ "1 defect", "2 defects"."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def and_more(number: int) -> str:
    """The omitted part of a list: "And 3 more."."""
    return f"And {number} more."


def listed(names: list[str]) -> str:
    """ "14", "14 and 15", "14, 15 and 16"."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
