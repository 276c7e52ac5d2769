"""Names and places as they may be entered, and words as they may be shown: nothing that steers a
terminal, nothing that turns a line round, nothing that cannot be seen.
"""

from __future__ import annotations

import unicodedata

# soft hyphen, zero-width spaces and joiners, byte order mark: nobody means them, and copied text is
# full of them
_DROPPED = "\u00ad\u200b\u200c\u200d\u2060\ufeff"
# joiners within emoji and some scripts: they steer nothing
_HARMLESS = "\u200c\u200d"


def plain_line(text: str, name: str) -> str:
    """A text on one line, as it may be entered: composed, single spaces, nothing invisible.

    name: of the field. Raises ValueError that names it, for what steers a terminal or turns text
    round.
    """
    kept = "".join(" " if sign in "\n\r\t" else sign for sign in unicodedata.normalize("NFC", text))
    return _seen_only(
        " ".join("".join(sign for sign in kept if sign not in _DROPPED).split()), name
    )


def plain_number(text: str) -> str:
    """The number of a door: "１２" and " 12 " are 12.

    Raises ValueError for what cannot be seen, a new line too.
    """
    kept = "".join(
        sign for sign in unicodedata.normalize("NFKC", text) if sign not in _DROPPED
    ).strip()
    return _seen_only(kept, "number")


def same_number(text: str) -> str:
    """What two ways of writing one number have in common: their signs, without capitals."""
    kept = "".join(sign for sign in unicodedata.normalize("NFKC", text) if sign not in _DROPPED)
    return " ".join(kept.split()).casefold()


def unseen(text: str) -> str | None:
    """The first sign that cannot be seen and steers or turns what is around it, as "U+202E"; None
    where none is.
    """
    return next((f"U+{ord(sign):04X}" for sign in text if _steers(sign)), None)


def shown(text: str, also: str = "\n\t") -> str:
    """A text with such signs written out, so that it can be printed, also within JSON. also: that
    stay as they are.
    """
    bare = text
    for sign in also:
        bare = bare.replace(sign, "")
    # what is printable has none of the categories that steer
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
