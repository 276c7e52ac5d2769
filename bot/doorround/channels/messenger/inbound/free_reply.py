"""A free-text reply to a question whose buttons share a prefix: "what was done?", "why is it
reopened?", "why no photo?", "which fault is it?", "how urgent?".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from doorround.dialogue.new_door import new_door_words
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorWord
from doorround.domain.query import read_query
from doorround.domain.repairs import tells_what
from doorround.english.bare_answers import is_asked, is_bare_answer
from doorround.english.number_words import NUMBER_WORDS
from doorround.english.shortcuts import carries_on, plain, shortcut
from doorround.messages import buttons

_LEAD = re.compile(
    r"(?:defect \d{1,9} made good|reopen defect \d{1,9}|defect \d{1,9} is no fault): "
    r"|defect \d{1,9} is (?:.+, (?=(?:act now|soon|planned|watch)$))?"
)
_MADE_GOOD = re.compile(r"defect \d{1,9} made good: ")
_ONLY_A_DOOR = re.compile(r"(?:the )?(?:door|number) \S{1,20}", re.IGNORECASE)
_NO_REPLY = re.compile(
    r"cancel|never ?mind|forget it|leave it|wait|later|not (?:yet|now)"
    r"|(?:i )?(?:don't|do not) know|(?:i am |i'm )?not sure|no idea"
)
_NOT_DONE = re.compile(
    r"(?:(?:i|we|it|they|it's) )?(?:still|not|no|none|nothing|never|\w+n't|cannot)\b.*"
)
_AROUND_PLACE = frozenset(("the", "at", "by", "in", "on", "of", "to", "door", "floor", "level"))


def completed(taps: Sequence[str], text: str) -> str | None:
    """The command of the message above, with these words in the free part; None if the words are
    not a reply to it: a command, a question, a door, or nothing informative.
    """
    words = " ".join(text.split())
    if _says_something_else(words):
        return None
    lead = _lead(taps)
    if _MADE_GOOD.fullmatch(lead) and _NOT_DONE.fullmatch(plain(words)):
        return None
    return f"{lead}{words}" if lead and tells_what(words) else None


def _says_something_else(words: str) -> bool:
    """Whether words are a command, question or refusal, or name a door by its number."""
    said = plain(words)
    goes_on = carries_on(words) is not None and not said.startswith("back ")
    return (
        words.startswith("/")
        or goes_on
        or said in set(DoorWord)
        or is_asked(words)
        or is_bare_answer(words)
        or any(
            each is not None for each in (read_query(words), shortcut(words), new_door_words(words))
        )
        or any(each.fullmatch(said) for each in (_ONLY_A_DOOR, _NO_REPLY))
    )


def names_place(text: str, doors: Iterable[Door]) -> bool:
    """Whether words are only the location of one of these doors, with or without its floor: "plant
    room on two".
    """
    said = frozenset(re.findall(r"[\w']+", plain(text))) - _AROUND_PLACE
    for door in doors:
        place = frozenset(re.findall(r"[\w']+", plain(door.place)))
        more = frozenset(re.findall(r"[\w']+", plain(f"{door.floor} {door.building} {door.site}")))
        rest = said - place - more
        if said & place and all(each in NUMBER_WORDS or each.isdigit() for each in rest):
            return True
    return False


def _lead(taps: Sequence[str]) -> str:
    """Prefix shared by all the buttons, before the free part; "" if none."""
    found = _LEAD.match(taps[0]) if len(taps) > 1 else None
    if found is None or not all(each.startswith(found[0]) for each in taps):
        return ""
    without = buttons.no_photo(taps[0], "")
    if all(each.startswith(without) for each in taps[1:]):
        return without
    return found[0]
