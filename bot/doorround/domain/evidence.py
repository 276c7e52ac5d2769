"""A door's own evidence: whether it names a document."""

from __future__ import annotations

import re

# What people write when they have no document or do not know of one, or when they say only that one
# exists. Common practice, no source.
_NO_DOCUMENT = (
    "no not none nil na n/a never without unknown lost missing gone pending awaiting awaited wanted"
    " requested ordered chasing tba tbc tbd follow confirmed advised unavailable unclear"
)
_ANY_DOCUMENT = (
    "yes ok okay test tested report reports certificate cert certified evidence document documents"
    " documentation paper papers file files sheet data see on in is there has have held available"
    " attached the and for fire door its own"
)


def named_document(evidence: str | None) -> str | None:
    """The document named in the register; None for "unknown", "pending" and the like, and for "yes"
    or "see file".
    """
    named = (evidence or "").strip()
    numbered = re.sub(r"\bno\b[.:]*\s*(?=\S*\d)", "", named.casefold())  # "cert. no. 12"
    words = re.findall(r"[^\W_]+(?:['/’][^\W_]+)*", numbered)
    if not words or set(_NO_DOCUMENT.split()) & set(words):
        return None
    telling = [word for word in words if word not in _ANY_DOCUMENT.split()]
    return named if any(re.search(r"\d|\w{3}", word) for word in telling) else None
