"""A least-recently-used cache for values that are expensive to create."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import Generic, TypeVar

Key = TypeVar("Key")
Made = TypeVar("Made")


class LruCache(Generic[Key, Made]):
    """LRU cache of at most `capacity` values; evictions call `on_evict`."""

    def __init__(self, capacity: int, on_evict: Callable[[Made], None] | None = None) -> None:
        self._capacity = capacity
        self._on_evict = on_evict
        self._held: OrderedDict[Key, Made] = OrderedDict()

    def __contains__(self, key: Key) -> bool:
        return key in self._held

    def __len__(self) -> int:
        return len(self._held)

    def get(self, key: Key, make: Callable[[], Made]) -> Made:
        """The value for that key, created if missing."""
        if key not in self._held:
            self.put(key, make())
        self._held.move_to_end(key)
        return self._held[key]

    def put(self, key: Key, thing: Made) -> None:
        """Insert a value."""
        self._held[key] = thing
        while len(self._held) > self._capacity:
            _, old = self._held.popitem(last=False)
            if self._on_evict:
                self._on_evict(old)
