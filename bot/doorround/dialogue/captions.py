"""Caption of a voice note: entered as a note, never as an answer.

Pure: reads only its arguments.
"""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check
from doorround.domain.entries import EntryKind
from doorround.messages import noting


def take_caption(check: Check, caption: str, now: datetime) -> Turn:
    """Enter a caption as a note. The state of the talk does not change."""
    builder = TurnBuilder(check, now)
    builder.enter(EntryKind.NOTED, text=caption, audio_sha256=None)
    builder.say(noting.caption_noted(caption))
    turn = builder.turn()
    return Turn(check, turn.say, turn.enter)
