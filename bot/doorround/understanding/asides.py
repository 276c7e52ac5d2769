"""What is told beside how a part is: what somebody does, another part, when or where."""

from __future__ import annotations

from doorround.understanding.lexicon import Item, Role

PEOPLE = frozenset(["i", "we", "you", "he", "she", "me", "us"])
ASIDE = ("where", "so", "like", "for")
"""They begin what is told beside the fault, or compare."""


def is_aside(component: str, item: Item) -> bool:
    """Whether a phrase is of something else: "when I lean on it", "where the bolt goes"."""
    if item.sense.role is Role.PART:
        return item.sense.key.split(".")[0] != component
    when = item.sense.role is Role.TALK or item.words in ASIDE
    return when or bool(PEOPLE.intersection(item.words.split()))
