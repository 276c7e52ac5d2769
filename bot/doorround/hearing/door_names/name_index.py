"""Index of door names: from the register to the spoken language, and from words to the doors they
name.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from doorround.domain.door import Door
from doorround.english.places import BEFORE_FLOOR
from doorround.english.spelling import BETWEEN_WORDS
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.automata.dawg import joined, smallest
from doorround.hearing.door_names import door_numbers
from doorround.hearing.door_names.place_names import building_ways, floor_ways, place_ways, use_ways
from doorround.hearing.grammar.automaton import automaton
from doorround.hearing.grammar.grammar_set import GrammarSet

Words = tuple[str, ...]
Doors = frozenset[int]

KINDS = ("number", "place", "floor", "building")
PART = 0
WHERE = 1
NAME = 2
"""How words name a door: by part of its number, by its floor or building alone, by its number or
place.
"""
MAX_NAME = 14
"""Maximum words of a number, a place, a floor."""


@dataclass(frozen=True)
class Found:
    """The doors named by words; none if they name something not in the register. strong: by the
    whole number or the place. Part of a number, or a floor alone, matches one door only by chance.
    """

    doors: tuple[Door, ...]
    strong: bool = True


class NameIndex:
    """One register of doors. Computed once; stateless across talks."""

    def __init__(self, doors: Iterable[Door], grammar_set: GrammarSet) -> None:
        self.doors = tuple(doors)
        self.grammar_set = grammar_set
        self._strong: dict[str, set[int]] = {}
        self._weak: dict[str, set[int]] = {}
        self._named: dict[str, dict[Words, set[int]]] = {kind: {} for kind in KINDS}
        for place, door in enumerate(self.doors):
            self._learn(place, door)
        self._leads = {tuple(phrase.split()) for phrase in grammar_set.phrases("door.lead")}
        self._links = {phrase for phrase in grammar_set.phrases("door.link")}

    def _learn(self, place: int, door: Door) -> None:
        whole = door_numbers.key(door.number)
        self._strong.setdefault(whole, set()).add(place)
        for part in parts_of(door.number):
            self._weak.setdefault(part, set()).add(place)
        for kind, ways in spoken_of(door).items():
            for way in ways:
                self._named[kind].setdefault(tuple(way.split()), set()).add(place)

    # ---- from words to doors

    def numbered(self, number: str) -> tuple[Door, ...]:
        """Doors with exactly this number or, if there are none, with the same letters and
        digits.
        """
        exact = [door for door in self.doors if door.number.lower() == number.lower()]
        return tuple(exact) or self._of(self._strong.get(door_numbers.key(number), set()))

    def almost(self, number: str) -> tuple[Door, ...]:
        """Doors whose number is one typing error away: a different, missing or extra character, or
        two swapped.
        """
        wanted = door_numbers.key(number)
        near: set[int] = set().union(*(self._strong.get(each, set()) for each in _one_slip(wanted)))
        return self._of(near)

    def find(self, words: Words) -> Found | None:
        """The doors that these words name, as a whole. None if they are not a name of any kind."""
        by_rank: dict[int, set[int]] = {}
        for doors, rank in self._read(self._without_lead(words), KINDS):
            by_rank.setdefault(rank, set()).update(doors)
        if not by_rank:
            return None
        best = max((rank for rank, doors in by_rank.items() if doors), default=PART)
        return Found(self._of(by_rank.get(best, ())), best == NAME)

    def place_in(self, words: Words) -> tuple[int, int]:
        """Position of the longest place name among these words: start and end; (0, 0) if there is
        none.
        """
        runs = [
            (end - begin, begin, end)
            for begin in range(len(words))
            for end in range(begin + 1, len(words) + 1)
        ]
        found = [run for run in runs if words[run[1] : run[2]] in self._named["place"]]
        return max(found)[1:] if found else (0, 0)

    def _of(self, places: Iterable[int]) -> tuple[Door, ...]:
        return tuple(self.doors[place] for place in sorted(places))

    def _without_lead(self, words: Words) -> Words:
        for end in range(min(len(words) - 1, 7), 0, -1):
            if words[:end] in self._leads:
                return words[end:]
        return words

    def _read(self, words: Words, kinds: tuple[str, ...]) -> Iterator[tuple[Doors, int]]:
        """Every parse of the words as a number, a place, a floor, a building, each at most once;
        with its rank.
        """
        for end in range(min(len(words), MAX_NAME), 0, -1):
            for kind in kinds:
                for doors, rank in self._piece(kind, words[:end]):
                    if end == len(words):
                        yield doors, rank
                        continue
                    left = tuple(other for other in kinds if other != kind)
                    for more, other_rank in self._read(words[end:], left):
                        yield (
                            doors & more,
                            PART if PART in (rank, other_rank) else max(rank, other_rank),
                        )
        if len(words) > 1 and words[0] in self._links:
            yield from self._read(words[1:], kinds)

    def _piece(self, kind: str, words: Words) -> Iterator[tuple[Doors, int]]:
        if kind != "number":
            doors = self._named[kind].get(words)
            if doors:
                yield frozenset(doors), NAME if kind == "place" else WHERE
            return
        keys = door_numbers.keys(words)
        if keys:
            yield frozenset().union(*(self._strong.get(key, set()) for key in keys)), NAME
            yield frozenset().union(*(self._weak.get(key, set()) for key in keys)), PART

    # ---- the language

    @cached_property
    def key(self) -> str:
        """Shared by registers with the same spoken language."""
        return names_key(self.doors)

    @cached_property
    def phrases(self) -> dict[str, frozenset[str]]:
        """Every number, place, floor and building in each spoken form."""
        said = {kind: {" ".join(words) for words in names} for kind, names in self._named.items()}
        said["number"] = {way for door in self.doors for way in number_ways(door.number)}
        return {kind: frozenset(ways) for kind, ways in said.items()}

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        """Every word that may be part of a door's name."""
        words = {word for ways in self.phrases.values() for way in ways for word in way.split()}
        words |= {word for lead in self._leads for word in lead} | self._links
        return frozenset(words | door_numbers.NUMBER_WORDS | BETWEEN_WORDS)

    def automaton(self, knows: Callable[[str], bool], alone: str) -> Automaton:
        """The whole language, restricted to the engine's vocabulary. alone: rule body of
        stand-alone phrases.

        States: 0 begins, 1 after "door", "show" or "look at", 2 a number, 3 a place, 4 a floor, 5 a
        building, 6 a floor said first, 7 before a place, 8 stand-alone phrases, 9 after "what is
        wrong", 10 before its floor, 11 after it.
        """
        part = {
            kind: smallest(way for way in self.phrases[kind] if all(map(knows, way.split())))
            for kind in KINDS
        }
        lead = automaton(self.grammar_set.nfa("door.lead"))
        the = smallest(["the"])
        parts = [
            (0, 1, lead),
            (1, 2, part["number"]),
            (1, 7, the),
            (2, 7, the),
            (7, 3, part["place"]),
            (3, 4, part["floor"]),
            (2, 4, part["floor"]),
            (1, 4, part["floor"]),
            (1, 6, part["floor"]),
            (6, 3, part["place"]),
            (3, 5, part["building"]),
            (4, 5, part["building"]),
            (2, 5, part["building"]),
            (0, 8, self.grammar_set.automaton_of(alone)),
            (0, 1, self.grammar_set.automaton_of("<asked.show>")),
            (0, 1, self.grammar_set.automaton_of("<asked.look>")),
            (0, 1, self.grammar_set.automaton_of("<asked.change>")),
            (0, 9, self.grammar_set.automaton_of("<asked.wrong>")),
            (9, 10, smallest(BEFORE_FLOOR)),
            (10, 11, part["floor"]),
        ]
        return joined(12, parts, [(0, 1), (1, 7), (2, 7), (9, 10)], (2, 3, 4, 5, 8, 9, 11))


def names_key(doors: Iterable[Door]) -> str:
    """Shared by registers whose doors have the same names, whatever their other data."""
    said = "\n".join(f"{d.number}|{d.place}|{d.floor}|{d.building}|{d.site}|{d.use}" for d in doors)
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def spoken_of(door: Door) -> dict[str, tuple[str, ...]]:
    """The names of a door's place, floor, building and site, in each spoken form. A place
    containing a number, such as "Kitchen 2", is expanded like a place.
    """
    worded = place_ways(door.number) if re.search("[^\\W\\d_]{3}", door.number) else ()
    return {
        "place": (*place_ways(door.place), *use_ways(door), *worded),
        "floor": floor_ways(door.floor),
        "building": (*building_ways(door.building), *building_ways(door.site)),
    }


def parts_of(number: str) -> tuple[str, ...]:
    """Keys for part of a number: without its letters, without leading zeros."""
    whole = door_numbers.key(number)
    digits = "".join(sign for sign in whole if sign.isdigit())
    parts = (digits, whole.lstrip("0"), digits.lstrip("0"))
    return tuple(dict.fromkeys(part for part in parts if part and part != whole))


def number_ways(number: str) -> tuple[str, ...]:
    """Spoken forms of a number, including parts: "P12" is also "twelve"."""
    return tuple(
        dict.fromkeys(
            way for part in (number, *parts_of(number)) for way in door_numbers.ways(part)
        )
    )


def _one_slip(word: str) -> set[str]:
    signs = "abcdefghijklmnopqrstuvwxyz0123456789"
    cuts = [(word[:place], word[place:]) for place in range(len(word) + 1)]
    found = {before + after[1:] for before, after in cuts if after}
    found |= {before + after[1] + after[0] + after[2:] for before, after in cuts if len(after) > 1}
    found |= {before + sign + after[1:] for before, after in cuts if after for sign in signs}
    found |= {before + sign + after for before, after in cuts for sign in signs}
    return found - {word, ""}
