"""Pronunciations: the CMU dictionary, our own additions, and British variants.

Phones are those of that dictionary, without stress: "door" is D AO R.
"""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path

from doorround.english.british import BROAD_A, NOT_SAID, YOO_STAYS_AFTER

Phones = tuple[str, ...]

Written = Path | Mapping[str, tuple[Phones, ...]] | None
"""Words → pronunciations, or a file in the format of the CMU dictionary."""

VOWELS = frozenset(
    ["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"]
)
CONSONANTS = frozenset(
    (
        "B",
        "CH",
        "D",
        "DH",
        "F",
        "G",
        "HH",
        "JH",
        "K",
        "L",
        "M",
        "N",
        "NG",
        "P",
        "R",
        "S",
        "SH",
        "T",
        "TH",
        "V",
        "W",
        "Y",
        "Z",
        "ZH",
    )
)
PHONES = VOWELS | CONSONANTS
"""The phones of PocketSphinx's model, without silence."""


def read_dictionary(lines: Iterable[str]) -> dict[str, tuple[Phones, ...]]:
    """Parse CMU dictionary lines, "word(2) W ER D" → word → its pronunciations, in file order."""
    found: dict[str, list[Phones]] = {}
    for line in lines:
        word, _, phones = line.partition(" ")
        if word and phones.strip() and not line.startswith(("#", ";;;")):
            ways = found.setdefault(word.partition("(")[0], [])
            if (way := tuple(phones.split())) not in ways:
                ways.append(way)
    return {word: tuple(ways) for word, ways in found.items()}


def written_ways(written: Written) -> Mapping[str, tuple[Phones, ...]]:
    """Words → pronunciations, read from the file if it is one."""
    if isinstance(written, Path):
        return read_dictionary(written.read_text(encoding="utf-8").splitlines())
    return written or {}


CARRIED = Path(__file__).with_name("cmudict.gz")
"""The CMU dictionary from PocketSphinx 5.1.1, so that pronunciations are the same with another
PocketSphinx or none. Its licence is beside it.
"""


@lru_cache(maxsize=1)
def bundled_dictionary() -> Mapping[str, tuple[Phones, ...]]:
    """The bundled CMU dictionary: 130,000 words."""
    return _AsText(gzip.decompress(CARRIED.read_bytes()).decode("utf-8"))


class _AsText(Mapping[str, tuple[Phones, ...]]):
    """A dictionary stored as text, with lazy parsing per word: a quarter of the memory of a parsed
    one, which every worker would hold. A word's variants must directly follow its first.
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._places = {found[1]: found.start() for found in _FIRST_WAY.finditer(text)}

    def __getitem__(self, word: str) -> tuple[Phones, ...]:
        begin = end = self._places[word]
        while self._text.startswith((f"{word} ", f"{word}("), end):
            end = (self._text.find("\n", end) + 1) or len(self._text)
        return read_dictionary(self._text[begin:end].splitlines())[word]

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


_FIRST_WAY = re.compile(r"^([^\s(#;][^\s(]*) ", re.MULTILINE)


class Pronunciations:
    """Words → all pronunciations. own: more words or variants, before those of the bundled
    dictionary.
    """

    def __init__(self, own: Mapping[str, tuple[Phones, ...]]) -> None:
        self.own = own

    @classmethod
    def read(cls, *paths: Path) -> Pronunciations:
        """Files in the format of the CMU dictionary; missing ones are skipped."""
        lines = [
            line
            for path in paths
            if path.is_file()
            for line in path.read_text(encoding="utf-8").splitlines()
        ]
        return cls(read_dictionary(lines))

    def written(self, word: str) -> tuple[Phones, ...]:
        """The pronunciations in a dictionary; () for an unknown word."""
        return tuple(dict.fromkeys((*self.own.get(word, ()), *bundled_dictionary().get(word, ()))))

    def ways(self, word: str) -> tuple[Phones, ...]:
        """The same plus British variants. () for an unknown word."""
        return tuple(
            dict.fromkeys(
                way for written in self.written(word) for way in (written, *british(word, written))
            )
        )


def british_ways(word: str, written: Iterable[Phones]) -> tuple[Phones, ...]:
    """Additional pronunciations for an engine. None of a single phone, such as "are" as AA, which
    matches any sound; none with the HW not used in southern England.
    """
    said = tuple(written)
    more = (other for way in said if way[:2] != ("HH", "W") for other in british(word, way))
    kept = (way for way in more if len(way) > 1 and way not in said and (word, way) not in NOT_SAID)
    return tuple(dict.fromkeys(kept))


def british(word: str, way: Phones) -> Iterator[Phones]:
    """Southern English variants of an American pronunciation. From memory: r only before a vowel,
    long "a" in some words, "new" as N Y UW.
    """
    broad = tuple("AA" if phone == "AE" else phone for phone in way) if word in BROAD_A else way
    for one in dict.fromkeys((way, broad)):
        for other in dict.fromkeys((one, non_rhotic(one))):
            if other != way:
                yield other
    if "u" in word or "ew" in word:
        yoo = tuple(_with_yoo(way))
        if yoo != way:
            yield yoo


def non_rhotic(way: Phones) -> Phones:
    """R only before a vowel: "door" D AO, "firm" F AH M (the model has no ER without R; AH is
    nearest).
    """
    said: list[str] = []
    for place, phone in enumerate(way):
        vowel_next = place + 1 < len(way) and way[place + 1] in VOWELS
        if phone == "R" and not vowel_next:
            # "near", "chair", "fire" and "hour" glide to a neutral vowel in place of the r
            said += ["AH"] if said and said[-1] in ("IH", "IY", "EH", "AY", "AW") else []
        elif phone == "ER" and not vowel_next:
            said.append("AH")
        else:
            said.append(phone)
    return tuple(said)


def _with_yoo(way: Phones) -> Iterator[str]:
    for place, phone in enumerate(way):
        if phone == "UW" and place and way[place - 1] in YOO_STAYS_AFTER:
            yield "Y"
        yield phone
