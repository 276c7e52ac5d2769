"""Normalises names and places, and sanitises text for display: no terminal control characters, no
bidirectional overrides, nothing invisible.
"""

from __future__ import annotations

import unicodedata

# soft hyphen, zero-width spaces and joiners, byte order mark: never intended, common in copied text
_DROPPED = "\u00ad\u200b\u200c\u200d\u2060\ufeff"
# joiners within emoji and some scripts: harmless
_HARMLESS = "\u200c\u200d"


def plain_line(text: str, name: str) -> str:
    """Normalise a text for entry: one line, composed, single spaces, nothing invisible.

    name: of the field. Raises ValueError naming it, for control characters and bidirectional
    overrides.
    """
    kept = "".join(" " if sign in "\n\r\t" else sign for sign in unicodedata.normalize("NFC", text))
    return _seen_only(
        " ".join("".join(sign for sign in kept if sign not in _DROPPED).split()), name
    )


def plain_number(text: str) -> str:
    """Normalise a door number: "１２" and " 12 " become 12.

    Raises ValueError for invisible characters, including newlines.
    """
    kept = "".join(
        sign for sign in unicodedata.normalize("NFKC", text) if sign not in _DROPPED
    ).strip()
    return _seen_only(kept, "number")


def same_number(text: str) -> str:
    """Comparison key of a number: normalised and case-folded."""
    kept = "".join(sign for sign in unicodedata.normalize("NFKC", text) if sign not in _DROPPED)
    return " ".join(kept.split()).casefold()


def unseen(text: str) -> str | None:
    """The first invisible character that controls a terminal or text direction, as "U+202E"; None
    if there is none.
    """
    return next((f"U+{ord(sign):04X}" for sign in text if _steers(sign)), None)


def shown(text: str, also: str = "\n\t") -> str:
    """A text with such characters escaped, so that it can be printed, also within JSON. also:
    characters to leave as they are.
    """
    bare = text
    for sign in also:
        bare = bare.replace(sign, "")
    # printable characters belong to none of the control categories
    if bare.isprintable():
        return text
    return "".join(_written(sign) if _steers(sign) and sign not in also else sign for sign in text)


def _steers(sign: str) -> bool:
    return unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp") and sign not in _HARMLESS


def _written(sign: str) -> str:
    code = ord(sign)
    if code <= 0xFFFF:
        return f"\\u{code:04x}"
    return f"\\u{0xD800 + (code - 0x10000 >> 10):04x}\\u{0xDC00 + (code - 0x10000 & 0x3FF):04x}"


def _seen_only(text: str, name: str) -> str:
    if sign := unseen(text):
        raise ValueError(
            f"{name}: there is a sign in it that cannot be seen ({sign}). Type it again without."
        )
    return text
