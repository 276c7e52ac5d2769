"""Names of other doors that sound like the recognised one."""

from __future__ import annotations

from collections.abc import Iterator

from doorround.english.number_words import ORDINAL_WORDS
from doorround.english.sound_alikes import SOUND_ALIKES
from doorround.english.spelling import LETTER_WORDS
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.door_names.door_numbers import NUMBER_WORDS
from doorround.hearing.door_names.name_index import Found, NameIndex, Words
from doorround.hearing.lexicon.phone_distance import distances, sounds_of

NEAR_SOUND = 1.3
"""Phonetic distance of two places below which they count as confusable: "good" and "bad", 0.9, are
often confused, "okay" and "broken", 2.65, seldom. See phone_distance.py.
"""

MAX_PLACES = 600
"""Maximum number of places compared, at some 0.2 ms each; a larger register has numbers to
distinguish its doors.
"""

MAX_NEAR = 24
"""Maximum number of competing names scored; 4 ms each."""


_SOUNDS_LIKE = {
    word: set(group.split()) - {word} for group in SOUND_ALIKES for word in group.split()
}
_MAY_BE_TAKEN = NUMBER_WORDS | ORDINAL_WORDS | LETTER_WORDS


def sounding_alike(building: NameIndex, words: Words) -> Iterator[Words]:
    """Names of other doors that sound like this one: fourteen for forty, "mead store" for "meal
    store".
    """
    yield from _of_others(
        building, words, (*_swapped(words, _SOUNDS_LIKE), *_other_places(building, words))
    )


def one_word_away(building: NameIndex, words: Words) -> Iterator[Words]:
    """Confusable names of other doors: those that sound alike, then those that differ in one word
    of a number.
    """
    others = (
        *_swapped(words, _SOUNDS_LIKE),
        *_other_places(building, words),
        *_swapped(words, None),
    )
    for count, name in enumerate(_of_others(building, words, others)):
        if count == MAX_NEAR:
            return
        yield name


def _of_others(building: NameIndex, words: Words, names: tuple[Words, ...]) -> Iterator[Words]:
    own = set((building.find(words) or Found(())).doors)
    for name in dict.fromkeys(names):
        found = building.find(name)
        if found and set(found.doors) - own:
            yield name


def _swapped(words: Words, alike: dict[str, set[str]] | None) -> Iterator[Words]:
    for place, word in enumerate(words):
        if word in _MAY_BE_TAKEN:
            for other in sorted(
                alike.get(word, set()) if alike is not None else _MAY_BE_TAKEN - {word}
            ):
                yield (*words[:place], other, *words[place + 1 :])


def _other_places(building: NameIndex, words: Words) -> list[Words]:
    """The same words with their place replaced by each that sounds similar or identical, nearest
    first.
    """
    begin, end = building.place_in(words)
    said = words[begin:end]
    places = sorted(building.phrases["place"])
    if not said or len(places) > MAX_PLACES:
        return []
    line = Automaton(
        tuple((place, place + 1, word) for place, word in enumerate(said)), frozenset({len(said)})
    )
    ways = building.grammar_set.ways
    apart = distances(places, sounds_of(line, ways), ways)
    same = " ".join(said)
    near = sorted(
        (far, name)
        for far, name in zip(apart, places, strict=True)
        if far < NEAR_SOUND and name != same
    )
    return [(*words[:begin], *name.split(), *words[end:]) for _, name in near]
