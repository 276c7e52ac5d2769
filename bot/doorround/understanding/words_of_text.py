"""Tokenises a text: expands contractions and stems each word for matching."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.resources import files

from doorround.hearing.lexicon.pronunciations import bundled_dictionary
from doorround.hearing.lexicon.tokeniser import readings

_SIGNS = {
    "’": "'",
    "‘": "'",
    "`": "'",
    "✓": " okay ",
    "✔": " okay ",
    "👍": " okay ",
    "&": " and ",
    "/": " ",
}
_SPELLING = tomllib.loads(
    (files(__package__) / "data" / "spelling.toml").read_text(encoding="utf-8")
)
_SHORT: dict[str, str] = _SPELLING["short"]
_OATHS = frozenset(_SPELLING["oaths"])
_WHOLE = frozenset(_SPELLING["whole"])
"""Words that are not stemmed: their end is no suffix, or changes the meaning."""
_WORD = re.compile(r"\d+(?:\.\d+)?|[a-z]+(?:'[a-z]+)*|'em\b|[^\sa-z0-9']")
PARTING = ",;:.!?\n–—-"
"""Punctuation that separates clauses."""


@dataclass(frozen=True)
class Token:
    """One word. text: expanded form; stem: used for matching.

    sign: punctuation before it: "," or "."; "" for none.
    """

    text: str
    stem: str
    sign: str = ""


_NO_ENDING_BEHIND = {"s": ("s", "u", "i"), "y": ("a", "e", "o", "u")}
"""Letters after which "s" or "y" is no suffix: "loss", "away"."""
_SCOTS_NOT = re.compile(
    r"(is|was|are|were|do|does|did|has|have|had|can|could|would|should|must|need)n?(?:na|nae)"
)
"""Scots negations: "doesna", "canna", "isnae"."""
_DOUBLED = ("ing", "ed", "y")
"""Suffixes before which a consonant is doubled: "slamming"; "wobbly" has none."""


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """Stem of a word, the same for "close", "closes", "closed" and "closing"."""
    if word == "goes":
        return "go"
    if word in _WHOLE or len(word) <= 3 or word[0].isdigit():
        return word
    for ending in ("ings", "ing", "ies", "ied", "es", "ed", "s", "e", "y"):
        kept = word.removesuffix(ending)
        no_ending = kept.endswith(_NO_ENDING_BEHIND.get(ending, ()))
        if kept == word or len(kept) < 3 or no_ending:
            continue
        doubled = len(kept) > 3 and kept[-1] == kept[-2] and kept[-1] not in "ls"
        return kept[:-1] if doubled and ending in _DOUBLED else kept
    return word


def tokens_of(text: str) -> tuple[Token, ...]:
    """The tokens of a text in order; "doesn't" is two, "does" and "not"."""
    text = text.lower()
    for sign, plain in _SIGNS.items():
        text = text.replace(sign, plain)
    text = re.sub(r"(?<=\w)-(?=\w)", " ", text)
    found: list[Token] = []
    sign = ""
    for word in _WORD.findall(text.replace("\n", " . ")):
        if word in PARTING:
            sign = "." if sign == "." or word not in ",:" else ","
        elif word[0].isalnum() or word == "'em":
            for each in _written_out(word):
                found.append(Token(each, stem(each), sign if found else ""))
                sign = ""
    return tuple(found)


def _written_out(word: str) -> list[str]:
    if word in _SHORT:
        return _SHORT[word].split()
    if scots := _SCOTS_NOT.fullmatch(word):
        return [scots[1], "not"]
    if word.endswith("n't"):
        return [word.removesuffix("n't"), "not"]
    for ending, full in (
        ("'s", "is"),
        ("'re", "are"),
        ("'ve", "have"),
        ("'ll", "will"),
        ("'d", "had"),
    ):
        if word.endswith(ending):
            return [*_written_out(word.removesuffix(ending)), full]
    return [word.replace("'", "")]


def without_oaths(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens without oaths; the punctuation of an oath moves to the next word."""
    found: list[Token] = []
    sign = ""
    for token in tokens:
        sign = sign or token.sign
        if token.text not in _OATHS:
            found.append(replace(token, sign=sign if found else ""))
            sign = ""
    return tuple(found)


@lru_cache(maxsize=32768)
def stems_of(phrase: str) -> tuple[str, ...]:
    """Stems of the words of a phrase."""
    return tuple(token.stem for token in tokens_of(phrase))


def respelled(tokens: Sequence[Token], known: frozenset[str]) -> tuple[tuple[Token, ...], int]:
    """The tokens with typing errors corrected, and their number. known: correct words."""
    stems = _stems(known)
    found: list[Token] = []
    for token in tokens:
        right = token.stem in stems or token.text in known
        near = () if right else readings(token.text, known)
        near = () if near and _no_slip(token.text, near[0][0]) else near
        word = near[0][0] if near else token.text
        found.append(Token(word, stem(word), token.sign) if near else token)
    count = sum(one.text != other.text for one, other in zip(tokens, found, strict=True))
    return tuple(found), count


def _no_slip(word: str, near: str) -> bool:
    """Whether a word is in the dictionary, so that it is no misspelling: "hallway" for "halfway",
    "barn" for "bar". Short words with a letter left out look like names too often.
    """
    return (len(word) > 4 or len(near) < len(word)) and word in bundled_dictionary()


@lru_cache(maxsize=32)
def _stems(known: frozenset[str]) -> frozenset[str]:
    return frozenset(map(stem, known))
