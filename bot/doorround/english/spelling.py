"""Names of letters and separators, and how to spell out."""

from __future__ import annotations

LETTER_NAMES = {
    "a": "EY",
    "b": "B IY",
    "c": "S IY",
    "d": "D IY",
    "e": "IY",
    "f": "EH F",
    "g": "JH IY",
    "h": "EY CH",
    "i": "AY",
    "j": "JH EY",
    "k": "K EY",
    "l": "EH L",
    "m": "EH M",
    "n": "EH N",
    "o": "OW",
    "p": "P IY",
    "q": "K Y UW",
    "r": "AA R",
    "s": "EH S",
    "t": "T IY",
    "u": "Y UW",
    "v": "V IY",
    "w": "D AH B AH L Y UW",
    "x": "EH K S",
    "y": "W AY",
    "z": "Z EH D",
}

_ALPHABET = (
    "alpha bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november oscar"
    " papa quebec"
)

_ALPHABET += " romeo sierra tango uniform victor whiskey x-ray yankee zulu"

SPELLED = dict(zip("abcdefghijklmnopqrstuvwxyz", _ALPHABET.split(), strict=True))

BETWEEN = {".": ("point",), "-": ("dash",), "/": ("stroke",)}
"""Spoken forms of separators; each may be left out."""

LETTERS = {letter: letter for letter in SPELLED} | {
    word: letter for letter, word in SPELLED.items()
}

LETTERS |= {
    "bee": "b",
    "zed": "z",
    "zee": "z",
    "alfa": "a",
    "juliett": "j",
    "xray": "x",
    "whisky": "w",
}

LETTER_WORDS = frozenset(LETTERS)

BETWEEN_WORDS = frozenset(("point", "dot", "dash", "stroke", "slash", "hyphen"))
