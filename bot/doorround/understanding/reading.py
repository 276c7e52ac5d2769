"""What a text says about a part, as a value: faults, what is sound, and reasons for doubt."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from doorround.understanding.word_data import MOVEMENTS, antonym, fault_name


@dataclass(frozen=True)
class NamedFault:
    """A fault reported in a text.

    name: the checklist's; None if the text only says that something is wrong. where: the place, in
    the caretaker's words. count: number of them. sense: of senses.toml; "" for a phrase of the
    part's own.
    """

    component: str
    name: str | None
    where: str | None = None
    count: int | None = None
    sense: str = ""


@dataclass
class Reading:
    """The parse of one text.

    sound: components said to be sound; denied: components whose faults were denied. goods: senses
    of what is sound. doubt: a word that prevents a pass; in_places: sound in some places only;
    hedged: the caretaker is unsure. mended: something was put right. cannot: reason why it was not
    seen, "" without one, None if it was seen. dangling: a "no" that denies nothing. minor: said not
    to matter; finish: about paint or paper, not the part. absent: the door has no such part.
    contrast: contains "but" or "apart from". talk: about the talk. ambiguous: the words of a fault
    may also mean something sound. nothing: "nothing", about unknown words. statement: enough small
    words for a sentence, "they have been at it". aside: about more than the part, such as what
    somebody does, another part, when or where. scene: names what hit it or is near it. unread:
    number of unknown words; respelled: number of words with corrected spelling.
    """

    component: str
    faults: list[NamedFault] = field(default_factory=list)
    sound: list[str] = field(default_factory=list)
    denied: list[str] = field(default_factory=list)
    goods: list[str] = field(default_factory=list)
    doubt: bool = False
    in_places: bool = False
    hedged: bool = False
    mended: bool = False
    cannot: str | None = None
    dangling: bool = False
    minor: bool = False
    finish: bool = False
    absent: bool = False
    contrast: bool = False
    ambiguous: bool = False
    nothing: bool = False
    talk: bool = False
    statement: bool = False
    aside: bool = False
    scene: bool = False
    unread: int = 0
    respelled: int = 0

    @property
    def plain(self) -> bool:
        """Whether the text reports one fault and nothing else, which leaves little doubt."""
        names = {fault.name for fault in self.faults if fault.name}
        denied = self.denied and not self.contrast
        kept = self.aside or self.scene or denied or self.respelled
        return len(names) == 1 and not (kept or self._contradicted(names))

    def _contradicted(self, names: set[str]) -> bool:
        """Whether a "but" brings the opposite of a fault: "dirty but readable"."""
        opposites = {fault_name(self.component, antonym(good)) for good in self.goods}
        return self.contrast and bool(opposites & names)

    @property
    def only_sound(self) -> bool:
        """Whether the text only says that something is sound, without any reason for doubt."""
        kept = (
            self.doubt
            or self.in_places
            or self.hedged
            or self.minor
            or self.mended
            or self.dangling
        )
        kept = kept or self.nothing or self.cannot is not None or bool(self.faults)
        return bool(self.sound or self.denied) and not kept


EVEN_SO = {
    "fully": frozenset(["slams", "slow"]),
    "latches": frozenset(["slams", "slow", "stops_short", "not_closing"]),
}
"""Faults of a closer with which it may still do so: "needs a shove to latch"."""


def tells_good_too(reading: Reading, names: Collection[str | None]) -> bool:
    """Whether something sound is told beside these faults. A closer may slam all the way, but not
    stop short.
    """
    goods = set(reading.goods)
    closer = reading.component == "closer"
    shuts = closer and any(not EVEN_SO[each].issuperset(names) for each in goods & set(EVEN_SO))
    return bool(goods - MOVEMENTS) or shuts


MOST_WORDS = 6
"""Maximum words of a fault that is entered without a read-back."""


def needs_a_yes(reading: Reading, names: Collection[str | None], text: str) -> bool:
    """Whether faults read in a text are not certain enough to be entered without a read-back."""
    found = reading
    kept = found.doubt or found.in_places or found.hedged or found.dangling
    kept = kept or found.cannot is not None or bool(found.unread) or None in names
    kept = kept or (not found.contrast and tells_good_too(found, names))
    kept = kept or found.ambiguous or found.nothing or not found.plain
    return kept or len(text.split()) > MOST_WORDS
