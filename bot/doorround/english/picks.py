"""Choosing one of several things by its number: "2", "number two", "option 2", "the second"."""

from __future__ import annotations

import re

from doorround.english.number_words import ONES

_NTH = ("first", "second", "third", "fourth")
_NUMBER = rf"(?P<number>[1-9]|{'|'.join(ONES[1:10])})"
_BARE = re.compile(rf"#?{_NUMBER}[.)]?")
_CALLED = re.compile(rf"(?:number|option|choice|button|no\.|nr\.?|#) ?{_NUMBER}(?: please)?")
_AGREEING = re.compile(r"^(?:yes|yeah|yep|aye),? ")
_PLACE = re.compile(rf"(?:the )?(?P<nth>{'|'.join(_NTH)})(?: one)?(?: please)?")


def picked(text: str, *, bare: bool) -> int | None:
    """The number chosen, from 1; None if none is. bare: a number by itself counts, too."""
    words = re.sub(r"\s+", " ", text).strip(" ,;!?").casefold()
    words = _AGREEING.sub("", words)
    if found := _PLACE.fullmatch(words):
        return _NTH.index(found["nth"]) + 1
    found = _CALLED.fullmatch(words.rstrip(".")) or (_BARE.fullmatch(words) if bare else None)
    if found is None:
        return None
    number = found["number"]
    return int(number) if number.isdecimal() else ONES.index(number)
