"""Local names of a door's faces: "corridor side frame fine"."""

from __future__ import annotations

import re

from doorround.domain.door_kinds import UNNAMED_FACES


def with_plain_faces(text: str, faces: tuple[str, str], face: str = "here") -> str:
    """Replace the faces' names by "this side" and "other side". face: the caretaker's position;
    from beyond, the name of the first face stays, since "this side" would be the other one.
    """
    if faces == UNNAMED_FACES:
        return text
    for name, plain in list(zip(faces, UNNAMED_FACES, strict=True))[face == "beyond" :]:
        text = re.sub(rf"\b(?:the )?{name}\b", plain, text, flags=re.IGNORECASE)
    return text


def face_unclear(text: str, faces: tuple[str, str], face: str) -> bool:
    """Whether "other side" may be either face: of a door whose faces have names, said elsewhere
    than at the first.
    """
    named = faces != UNNAMED_FACES and face != "here"
    return named and re.search(r"\b(?:other|far) side\b", text, re.IGNORECASE) is not None
