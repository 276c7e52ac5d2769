"""A small store for things that are costly to make."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import Generic, TypeVar

Key = TypeVar("Key")
Made = TypeVar("Made")


class Kept(Generic[Key, Made]):
    """The last things made, at most `most`; the one longest unused goes first, and `let_go` is told of it."""

    def __init__(self, most: int, let_go: Callable[[Made], None] | None = None) -> None:
        self._most, self._let_go = most, let_go
        self._held: OrderedDict[Key, Made] = OrderedDict()

    def __contains__(self, key: Key) -> bool:
        return key in self._held

    def __len__(self) -> int:
        return len(self._held)

    def get(self, key: Key, make: Callable[[], Made]) -> Made:
        """The thing of that name, made where it is not held."""
        if key not in self._held:
            self.put(key, make())
        self._held.move_to_end(key)
        return self._held[key]

    def put(self, key: Key, thing: Made) -> None:
        """Hold a thing."""
        self._held[key] = thing
        while len(self._held) > self._most:
            _, old = self._held.popitem(last=False)
            if self._let_go:
                self._let_go(old)
