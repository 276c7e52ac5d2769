"""A door's own evidence: whether a document is named at all."""

from __future__ import annotations

# What people write where they know of no document: common practice, no source
_NO_DOCUMENT = ("", "n/a", "na", "nil", "no", "none", "not known", "tbc", "to follow", "unknown")


def named_document(evidence: str | None) -> str | None:
    """The document that a register names, or None where "unknown" and the like name none."""
    named = (evidence or "").strip()
    return None if named.strip(" .-?").casefold() in _NO_DOCUMENT else named
