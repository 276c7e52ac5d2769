"""A door's own evidence: whether a document is named at all."""

from __future__ import annotations

import re

# What people write where they have no document, or do not know of one; and what says that there is
# one and not which. Common practice, no source.
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
    """The document that a register names; None where "unknown", "pending" and the like name none,
    and "yes" or "see file" any.
    """
    named = (evidence or "").strip()
    numbered = re.sub(r"\bno\b[.:]*\s*(?=\S*\d)", "", named.casefold())  # "cert. no. 12"
    words = re.findall(r"[^\W_]+(?:['/’][^\W_]+)*", numbered)
    if not words or set(_NO_DOCUMENT.split()) & set(words):
        return None
    telling = [word for word in words if word not in _ANY_DOCUMENT.split()]
    return named if any(re.search(r"\d|\w{3}", word) for word in telling) else None
