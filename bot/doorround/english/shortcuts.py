"""Short typed forms of commands: "n/a", "nobody in", "what is left".

Only a whole message counts, and only if typed or tapped: spoken, most are too short to distinguish
from noise.
"""

from __future__ import annotations

import re

SHORTCUTS: dict[str, tuple[str, ...]] = {
    "skip": ("next", "next one", "next question", "move on", "next please"),
    "pause": (
        *("stop", "hang on", "one moment", "back in a minute", "brb", "bye", "exit", "quit"),
        *("stop here", "stop for now", "that's it for now", "leave it there"),
    ),
    "another door": (
        *("another door", "not now", "not now, another door", "not now another door"),
        *("a different door", "different door", "next door", "leave this door for now"),
        *("not this door now", "another door first", "do another door first"),
    ),
    "finish": (
        *("done", "all done", "i am done", "i'm done", "finished", "i am finished", "i'm finished"),
        *("done here", "all done here", "i'm done here", "i am done here", "that's me", "thats me"),
        *("that's me done", "thats me done", "that's me finished", "that's me then", "me done"),
        *("that is me", "that is me done", "we're done", "we are done", "all finished", "job done"),
    ),
    "what can I say": (
        *("what are the choices", "what are my choices", "what are the options", "what choices"),
        *("what is there to choose from", "what's there to choose from", "what can i choose"),
        *("what can i choose from", "what do i choose from", "what choices are there"),
        *("which ones are there", "what are the answers", "list the options", "choices"),
    ),
    "cancel": ("wrong door", "not this door", "this is the wrong door", "i am at the wrong door"),
    "no access to the door": ("nobody in", "no one in", "nobody home", "no one home", "no answer"),
    "what is left": (
        *("what is left", "what's left", "whats left", "how many left", "how many more"),
        *("how many are left", "how far am i", "how far along am i", "progress", "how much longer"),
        *("how many questions left", "what's still open", "what is still open"),
    ),
}
"""Command → typed forms."""
SIGNING = ("sign", "sign it", "sign it off", "sign off", "sign this", "sign please", "please sign")
"""Only when just the signature is missing; elsewhere "sign" is the one on the door."""
NOT_APPLICABLE = ("n/a", "n.a", "not applicable", "doesn't apply here")

LEAVING = ("pause", "another door")
"""These count at a read-back too: a person going away answers it neither way."""

_WORDS = {words: command for command, said in SHORTCUTS.items() for words in said}


def plain(text: str) -> str:
    """A message in lower case, without surrounding punctuation."""
    return re.sub(r"\s+", " ", text.replace("’", "'")).strip(" .!?,;").casefold()


_TO_WHOM = re.compile(
    r"(?:,? (?:mate|pal|boss|love|duck|hen|guv|sir|thanks|thank you|cheers|ta))+$"
)
"""Whom a message speaks to says nothing more: "all done mate"."""


def shortcut(text: str) -> str | None:
    """The command that a message stands for; None for any other message."""
    words = plain(text)
    return _WORDS.get(words) or _WORDS.get(_TO_WHOM.sub("", words))


def signing(text: str) -> bool:
    """Whether a message asks for the signature, when nothing else is open."""
    return plain(text) in SIGNING


_CARRIES_ON = re.compile(
    r"(?:carry on|continue|resume|go on|back)(?: (?:with|at|to|on))?(?: (?P<what>(?:door )?.+))?"
)


def carries_on(text: str) -> str | None:
    """The name of a paused check in "carry on with door 14", "" in "carry on"; None for any other
    message.
    """
    found = _CARRIES_ON.fullmatch(plain(text))
    return None if found is None else found["what"] or ""


def not_applicable(text: str) -> bool:
    """Whether a message says that the question does not apply."""
    return plain(text) in NOT_APPLICABLE


_CALLED_OFF = ("never mind", "nevermind", "forget it", "nothing", "no fault", "leave it")


def called_off(text: str) -> bool:
    """Whether a message calls off what was about to be told."""
    words = plain(text)
    return words in _CALLED_OFF or _TO_WHOM.sub("", words) in _CALLED_OFF
