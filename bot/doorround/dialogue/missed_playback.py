"""Parts of a recording that were not understood: quoted with their time, and played back on
request.
"""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.domain.check import Clip, Prompt
from doorround.domain.input_result import BadAudio, Heard, OffGrammar, Silence, Unsure
from doorround.domain.values import Word
from doorround.messages import replying

PLAY = Word.PLAY.value
MAX_PLAYED = 3
"""Maximum number of stretches played at once; with more, repeating the answer is quicker."""


def tell_missed(builder: TurnBuilder, heard: Heard) -> None:
    """Quote the times of what was not understood, and offer to play it."""
    if not heard.unheard:
        return
    sha256 = heard.audio_sha256
    missed = (
        tuple(Clip(audio_sha256=sha256, start=start, end=end) for start, end in heard.lost)
        if sha256
        else ()
    )
    builder.set(missed=missed)
    line = replying.missed_within(" and ".join(heard.unheard))
    builder.say(line, taps=(PLAY,) if missed else ())


def keep_whole(builder: TurnBuilder, heard: Unsure | OffGrammar | Silence | BadAudio) -> None:
    """Remember a recording of which nothing was understood, for playback on request only."""
    if isinstance(heard, OffGrammar) and heard.audio_sha256:
        builder.set(missed=(Clip(audio_sha256=heard.audio_sha256),))


def play_missed(builder: TurnBuilder) -> bool:
    """Tell the channel what to play. False if there is nothing."""
    for clip in builder.check.missed[:MAX_PLAYED]:
        whole = clip.end is None
        text = replying.YOUR_LAST_RECORDING if whole else replying.played(clock(clip.start))
        builder.prompt(Prompt(text=text, clip=clip))
    return bool(builder.check.missed)


def clock(seconds: float) -> str:
    """A time in a recording: "0:09"."""
    return f"{int(seconds // 60)}:{int(seconds % 60):02d}"
