"""Words for having taken what was just named out of a doorway: "kicked it out the way"."""

from __future__ import annotations

import re

_WHO = (
    r"(?:(?:i|i['’]?ve|i have|we|we['’]?ve|we have)(?: (?:just|now|already|since))* "
    r"|(?:just|now) )?"
)
_TOOK = (
    r"(?:took|taken|kicked|pulled|moved|removed|shifted|knocked|chucked|yanked|pushed|slid|cleared"
    r"|threw|thrown|carried|dragged|tugged|booted|lifted|picked|put|got|untied|unhooked|unhitched)"
)
_IT = r"(?:it|that|this|them|those|these|the thing|the things|the lot|all of it|all that)"
_AWAY = (
    r"(?: (?:straight|right|all))?(?: (?:out|away|off|aside|up|back|clear|outside|elsewhere"
    r"|out (?:of )?the way|out of (?:it|there|the door(?:way)?)|to one side|to the side"
    r"|in the bin))?(?: from (?:under|underneath|behind)(?: (?:it|the door|there))?)?"
)
_SINCE = r"(?: (?:now|already|since|straight away|right away|just now|myself|again))*"
_GONE = (
    r"(?:it|that|they|those|that lot)(?:['’]s| is|['’]re| are|['’]s been| has been|have been)"
    r"(?: now)? (?:out|gone|moved|removed|cleared|taken (?:out|away|off)|out of the way)"
)
_RID = rf"{_WHO}(?:got|gotten) (?:rid of|shot of) {_IT}"
_SORTED = rf"(?:{_WHO}(?:sorted|dealt with|seen to)(?: {_IT})?|{_IT}['’]s sorted)"
_SAID = re.compile(
    r"\W*(?:(?:ok|okay|right|yeah|yes|well|so|and|but|no|sorry|er|um)[\s,.]+)*"
    rf"(?:{_WHO}{_TOOK} {_IT}{_AWAY}|{_GONE}|{_RID}|{_SORTED}){_SINCE}\W*",
    re.IGNORECASE,
)


def tells_taken_away(text: str) -> bool:
    """Whether the whole text says that something just named was taken out of the way."""
    return _SAID.fullmatch(text) is not None


def means_all(text: str) -> bool:
    """Whether such a text speaks of several things, and so of all that were found."""
    return re.search(r"\b(?:them|those|these|they|lot|things|all)\b", text, re.I) is not None
