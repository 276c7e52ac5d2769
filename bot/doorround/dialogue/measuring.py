"""Answers that add to earlier ones (gaps at several places, later faults), and the closing time.
Pure.
"""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from doorround.domain.check import Check, Stage
from doorround.domain.gap_points import joined, placed
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Said, Unsure
from doorround.domain.made_good import faults_together
from doorround.domain.values import Command, Condition, Measure, Unit, Word

CLOSING = "closer.seconds"
TIMED_AT = ("closer.full", CLOSING)
"""Questions at which the door is let go from fully open."""
# Outside these limits the time is not real: two messages were sent at once, or one was forgotten.
# Common practice, no source.
MIN_S = 1
MAX_S = 60


def settled(check: Check, heard: AnyHeard) -> AnyHeard:
    """The input with every gap assigned to its place and merged with earlier gaps of its question.
    OffGrammar if it is unclear which place is meant.
    """
    match heard:
        case Heard():
            found = _settled(check, heard)
            return found or OffGrammar(
                by=heard.by, words=heard.words, audio_sha256=heard.audio_sha256
            )
        case Unsure(guesses=guesses):
            left = tuple(found for each in guesses if (found := _settled(check, each)))
            if not left:
                return OffGrammar(
                    by=heard.by, words=guesses[0].words, audio_sha256=heard.audio_sha256
                )
            return heard.model_copy(update={"guesses": left})
        case _:
            return heard


def _settled(check: Check, heard: Heard) -> Heard | None:
    running = check.let_go is not None or any(_is(each, Word.LET_GO) for each in heard.said)
    placed_ones = [_in_place(check, each) for each in heard.said]
    said = tuple(_doubted(each) if running else each for each in placed_ones if each)
    if len(said) < len(heard.said):
        return None
    return heard.model_copy(update={"said": said}) if said != heard.said else heard


def _doubted(said: Said) -> Said:
    """Hedge a pass of the closer while the stopwatch runs: "shut" is expected, and "shuts" is only
    one sound different.
    """
    passing = isinstance(said.value, Condition) and said.value.passes
    return (
        said.model_copy(update={"hedged": True})
        if passing and said.question == "closer.full"
        else said
    )


def _is(said: Said, word: Word) -> bool:
    return isinstance(said.value, Command) and said.value.word is word


def _in_place(check: Check, said: Said) -> Said | None:
    if said.added or only_made_good(said) or _said_once_more(check, said):
        return _on_top(check, said)
    if not isinstance(said.value, Measure) or said.question is None:
        return said
    before = _before(check, said)
    value = placed(said.question, said.value, _wanted(before, said.correction))
    if value is None:
        return None
    if before is not None and _goes_on(before, value, said.correction):
        value = joined(said.question, before, value)
    return said if value == said.value else said.model_copy(update={"value": value})


def _said_once_more(check: Check, said: Said) -> bool:
    """Whether it is a fault said during a read-back, without "no". It is added to the answer in
    force, as the fault being read back would be; also if a pass is being read back, which reverses
    nothing without a yes.
    """
    if check.stage is not Stage.CONFIRMING or check.pending is None or said.denies:
        return False
    waits = {
        each.question
        for each in check.pending.said
        if each.added or _is_sound(each) or _on_top(check, each) == each
    }
    fault = isinstance(said.value, Condition) and not said.value.passes
    return fault and said.question in waits


def _is_sound(said: Said) -> bool:
    return isinstance(said.value, Condition) and said.value.sound


def _on_top(check: Check, said: Said) -> Said:
    """A later fault, merged with the earlier ones of its question."""
    answer = check.answers.get(said.question or "")
    if isinstance(said.value, Condition) and said.value.sound:
        return said
    if (
        answer is None
        or not isinstance(answer.value, Condition)
        or not isinstance(said.value, Condition)
    ):
        return said
    both = faults_together(answer.value.defects, said.value.defects)
    return said.model_copy(update={"value": Condition(defects=both)})


def only_made_good(said: Said) -> bool:
    """Whether the answer only says that something was made good on the spot; other faults of the
    part stay.
    """
    return isinstance(said.value, Condition) and not said.value.sound and said.value.passes


def _wanted(before: Measure | None, correction: bool) -> tuple[str, ...]:
    """The edges that three bare numbers may be for: those still unmeasured; in a correction, the
    last one mentioned.
    """
    if before is None:
        return ()
    return (before.spots[-1].edge,) if correction and before.spots[-1].edge else before.unmeasured


def _before(check: Check, said: Said) -> Measure | None:
    answer = check.answers.get(said.question or "")
    return (
        answer.value
        if answer and isinstance(answer.value, Measure) and answer.value.spots
        else None
    )


def _goes_on(before: Measure, more: Measure, correction: bool) -> bool:
    """Whether a gap is added to the earlier ones: while some are unmeasured, or if a correction
    changes one of several ("no, head three").
    """
    if not correction:
        return bool(before.unmeasured)
    return bool(more.spots) and {spot.edge for spot in more.spots} <= {
        spot.edge for spot in before.spots
    }


def not_whole(check: Check, key: str) -> tuple[str, ...]:
    """Edges of an answered question that are still unmeasured."""
    answer = check.answers.get(key)
    return answer.value.unmeasured if answer and isinstance(answer.value, Measure) else ()


# ---- The closing time


def seconds_between(let_go: datetime, shut: datetime) -> Fraction:
    """Seconds between two messages, rounded to a tenth."""
    return Fraction(round((shut - let_go).total_seconds() * 10), 10)


def seconds_within(heard: Heard) -> Fraction | None:
    """Seconds from the end of "letting go" to the start of "shut" in one recording; None unless it
    contains both, with their times.
    """
    moments = {
        each.value.word: each.at
        for each in heard.said
        if isinstance(each.value, Command) and each.at
    }
    let_go = moments.get(Word.LET_GO)
    shut = moments.get(Word.SHUT)
    if let_go is None or shut is None:
        return None
    return Fraction(round((shut[0] - let_go[1]) * 10), 10)


def plausible(seconds: Fraction) -> bool:
    """Whether a door can take this long to shut."""
    return MIN_S <= seconds <= MAX_S


def closing_time(heard: Heard, seconds: Fraction) -> Heard:
    """The input with the closing time as its first answer."""
    at = [each.at for each in heard.said if each.at]
    said = Said(
        question=CLOSING,
        value=Measure(amount=seconds, unit=Unit.SECOND),
        phrase="letting go, shut",
        at=(at[0][0], at[-1][1]) if at else None,
        hearing=heard.said[-1].hearing,
    )
    return heard.model_copy(
        update={"said": (said, *(each for each in heard.said if each.question))}
    )
