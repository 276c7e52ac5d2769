"""Which leaf of a pair is meant by "the other leaf" or "the right one": clear from the question, or
offered. A pass is never taken for the leaf in question because another name was not understood.
"""

from __future__ import annotations

import re

from doorround.channels.talk.second_reading import Understand, read_second
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.offering import passes_something
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import FREE, Check
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said, Unsure
from doorround.domain.two_leaves import EACH_LEAF, of_second_leaf
from doorround.english.leaf_names import FIRST, SECOND, leaf_readings, of_closer, of_leaf
from doorround.hearing.session.interpretation import Interpreter, typed

Reads = tuple[Interpreter, Understand | None]

_ONE_EACH = ("leaf", "closer", "latch", "coordinator")
"""Parts of which each leaf has one, so that "the other one" is a leaf."""
_CLAUSE = re.compile(r"\bthe (first|second) leaf(?:['’]s)?\b", re.IGNORECASE)
_MOVES = re.compile(r"\b(?:slam|clos|shut|bang)\w*", re.IGNORECASE)
"""What a leaf does, which is asked of its closer."""


def read_pair(check: Check, heard: AnyHeard, reads: Reads) -> AnyHeard:
    """A message's result, with the second understanding. On a pair, one that names its leaf by the
    other, or by its place, is read back for the leaf that is meant; if that may be either, both
    meanings are offered. A transcript's pass is only offered.
    """
    text = message_text(heard)
    told = _told(check, text) if text and check.door.pair and check.stage not in FREE else ()
    if not told:
        return read_second(heard, reads[1], check)
    reader = _Reader(check, heard, text, reads)
    found = [each for each in map(reader.read, told) if each is not None]
    only_offered = heard.by is By.VOICE and any(passes_something(check, each) for each in found)
    if len(told) == 1 and found and not only_offered:
        return found[0]
    offers = [reader.faults_first(each) for each in found]
    offers.sort(key=lambda each: of_second_leaf(each.said[0].question or ""))
    return off_grammar(heard, text, tuple(offers) if len(offers) == len(told) else ())


def _told(check: Check, text: str) -> tuple[str, ...]:
    asked = _in_question(check)
    here = SECOND if of_second_leaf(asked) else FIRST if asked in EACH_LEAF else ""
    one_each = not asked or asked.partition(".")[0].removesuffix("_second") in _ONE_EACH
    return leaf_readings(text, here, ones=one_each)


def message_text(heard: AnyHeard) -> str:
    """What was typed, or the transcript of a recording; "" for a button."""
    if heard.by is By.TAP:
        return ""
    if isinstance(heard, OffGrammar):
        return heard.words or heard.transcript
    best = heard.guesses[0] if isinstance(heard, Unsure) else heard
    if not isinstance(best, Heard):
        return ""
    if heard.by is not By.VOICE:
        return best.words
    return ", ".join(each.hearing.transcript for each in best.said if each.hearing)


def _in_question(check: Check) -> str:
    if check.open is not None:
        return check.open
    pending = check.pending.said[0].question if check.pending else None
    return pending or ""


class _Reader:
    """Reads one message with its leaves named."""

    def __init__(self, check: Check, heard: AnyHeard, text: str, reads: Reads) -> None:
        self._check = check
        self._heard = heard
        self._text = text
        self._interpreter, self._understand = reads

    def read(self, told: str) -> Heard | None:
        """A reading with the message's own words; None if it is no answer. A leaf that slams or
        does not close is about its closer.
        """
        part = _in_question(self._check).partition(".")[0]
        moves = part != "closer" and _MOVES.search(told)
        said = () if moves else self._said(told)
        return self._own(said or self._by_clause(told, part))

    def faults_first(self, read: Heard) -> Heard:
        """A reading with its faults only, if it has any: what else it says is asked anyway."""
        faults = tuple(each for each in read.said if is_fault(self._check, each))
        return read.model_copy(update={"said": faults or read.said})

    def _by_clause(self, told: str, part: str) -> tuple[Said, ...]:
        """The faults in what is said about each leaf."""
        starts = list(_CLAUSE.finditer(told))
        ends = [each.start() for each in starts[1:]] + [len(told)]
        found: dict[str | None, Said] = {}
        for start, end in zip(starts, ends, strict=True):
            rest = told[start.end() : end].strip(" ,;.!").removesuffix(" and").removesuffix(" but")
            clause = of_leaf(rest, start[1])
            if _MOVES.search(rest) and part != "closer":
                clause = of_closer(rest, start[1])
            for each in self._said(clause):
                if is_fault(self._check, each):
                    found.setdefault(each.question, each)
        return tuple(found.values())

    def _said(self, text: str) -> tuple[Said, ...]:
        expected: ExpectedInput = expected_input(self._check)
        read = read_second(typed(self._interpreter, text, expected), self._understand, self._check)
        best = read.guesses[0] if isinstance(read, Unsure) else read
        answers = isinstance(best, Heard) and all(each.question for each in best.said)
        return best.said if isinstance(best, Heard) and answers else ()

    def _own(self, said: tuple[Said, ...]) -> Heard | None:
        if not said:
            return None
        own = {"verbatim": self._text, "hedged": True}
        return Heard(
            by=self._heard.by,
            said=tuple(each.model_copy(update=own) for each in said),
            words=self._text,
            engine="second understanding",
            audio_sha256=getattr(self._heard, "audio_sha256", None),
        )


def off_grammar(heard: AnyHeard, text: str, offers: tuple[Heard, ...]) -> OffGrammar:
    """The message as one that was not understood, with these meanings to choose from."""
    spoken = heard.by is By.VOICE
    return OffGrammar(
        by=heard.by,
        words=None if spoken else text,
        transcript=text if spoken else "",
        nearest=offers,
        audio_sha256=getattr(heard, "audio_sha256", None),
    )
