"""What words say of a part, as a value: its faults, what is sound, what leaves it unsure."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class NamedFault:
    """A fault that was told.

    name: the checklist's; None where it is only told that something is wrong. where: the place, in
    the caretaker's words. count: how many. sense: of senses.toml; "" where the words are the
    part's own.
    """

    component: str
    name: str | None
    where: str | None = None
    count: int | None = None
    sense: str = ""


@dataclass
class Reading:
    """What was read.

    sound: components of which that was said; denied: of which faults were denied. goods: what was
    said to be sound. doubt: a word that lets nothing pass; in_places: sound is said of places
    alone; hedged: the caretaker is not sure. mended: something was put right. cannot: why nothing
    was seen, "" without a reason, None where it was. dangling: a "no" that denies nothing. minor:
    it is said not to matter; finish: it is of paint or paper and not of the part. absent: the door
    has no such part. contrast: a "but" or "apart from" was said. talk: it is about the talk.
    ambiguous: a fault in words that may be sound. nothing: "nothing", of what was not read.
    statement: it has small words as a sentence has, "they have been at it". aside: it tells of more
    than the part: what somebody does, another part, when or where. scene: what hit it or stands
    near is named. unread: words of which nothing is known; respelled: words taken for others.
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
        """Whether one fault is told and nothing else, so that little can be meant but that."""
        names = {fault.name for fault in self.faults if fault.name}
        denied = self.denied and not self.contrast
        return len(names) == 1 and not (self.aside or self.scene or denied or self.respelled)

    @property
    def only_sound(self) -> bool:
        """Whether nothing but what is sound was said, in words that were all read."""
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
