"""The faces of a door by the names that the place gives them: "corridor side frame fine"."""

from __future__ import annotations

import re

from doorround.domain.door_kinds import UNNAMED_FACES


def with_plain_faces(text: str, faces: tuple[str, str]) -> str:
    """The same words with "this side" and "other side" in place of the faces' names."""
    if faces == UNNAMED_FACES:
        return text
    for name, plain in zip(faces, UNNAMED_FACES, strict=True):
        text = re.sub(rf"\b(?:the )?{name}\b", plain, text, flags=re.IGNORECASE)
    return text
