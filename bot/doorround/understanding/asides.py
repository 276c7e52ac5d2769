"""What is told beside how a part is: what somebody does, another part, when or where."""

from __future__ import annotations

from collections.abc import Sequence

from doorround.understanding.lexicon import Item, Role

PEOPLE = frozenset(["i", "we", "you", "he", "she", "me", "us"])
ASIDE = ("where", "so", "like", "for")
"""They begin what is told beside the fault, or compare."""
ARTICLES = ("the", "a", "this", "that", "its")


def is_aside(component: str, item: Item) -> bool:
    """Whether a phrase is of something else: "when I lean on it", "where the bolt goes"."""
    if item.sense.role is Role.PART:
        return item.sense.key.split(".")[0] != component
    when = item.sense.role is Role.TALK or item.words in ASIDE
    return when or bool(PEOPLE.intersection(item.words.split()))


def before_article(items: Sequence[Item], place: int) -> Item | None:
    """What stands before a phrase and its article: "in" for "crack in the bead"; None at the
    beginning.
    """
    back = place - 1
    while back >= 0 and items[back].words in ARTICLES:
        back -= 1
    return items[back] if back >= 0 else None
