"""British variants of the dictionary's American pronunciations."""

from __future__ import annotations

BROAD_A = frozenset(
    (
        "ask",
        "asked",
        "bath",
        "branch",
        "can't",
        "chance",
        "class",
        "dance",
        "fast",
        "fasten",
        "fastened",
        "fastening",
        "glass",
        "grass",
        "half",
        "last",
        "laugh",
        "pass",
        "passed",
        "passes",
        "past",
        "path",
        "plant",
        "plaster",
        "shan't",
        "task",
        "vast",
    )
)
"""Words with the long "a" of southern England, AA where the dictionary has AE.

From memory; the likely ones.
"""

YOO_STAYS_AFTER = frozenset(["T", "D", "N"])

NOT_SAID = frozenset([("for", ("F", "R", "AH"))])
"""Rule outputs for weak American forms that nobody says."""
