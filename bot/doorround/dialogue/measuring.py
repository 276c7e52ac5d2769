"""What adds to what was said before: gaps at several places, a fault told later; and how long the
door took to shut. Pure.
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
# A door that shuts sooner, or later, was not timed: two messages sent at once, or one forgotten.
# Common practice, no source.
MIN_S = 1
MAX_S = 60


def settled(check: Check, heard: AnyHeard) -> AnyHeard:
    """The same with every gap at its place, joined with what was measured of its question before.
    Words of which it cannot be told which place they mean are no answer.
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
    """While the clock runs "shut" is waited for, and "shuts" is one sound away: a pass of the
    closer is read back.
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
    """A fault said to a read-back, without a "no": it comes on top of what stands, as the one that
    is read back would; so does one said to a pass, which takes nothing back without a yes.
    """
    if check.stage is not Stage.CONFIRMING or check.pending is None or said.denies:
        return False
    waits = {each.question for each in check.pending.said if each.added or _is_sound(each)}
    fault = isinstance(said.value, Condition) and not said.value.passes
    return fault and said.question in waits


def _is_sound(said: Said) -> bool:
    return isinstance(said.value, Condition) and said.value.sound


def _on_top(check: Check, said: Said) -> Said:
    """A fault told later, with those that were told of its question before."""
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
    """Whether all that is said is that something was made good on the spot: other faults of the
    part stay as they were told.
    """
    return isinstance(said.value, Condition) and not said.value.sound and said.value.passes


def _wanted(before: Measure | None, correction: bool) -> tuple[str, ...]:
    """The edges that three bare numbers may be of: those asked for; of a correction, the one spoken
    of last.
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
    """Whether a gap adds to those before: while some are unmeasured; "no, head three" also changes
    one of several.
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
    """Seconds between two messages, to a tenth."""
    return Fraction(round((shut - let_go).total_seconds() * 10), 10)


def seconds_within(heard: Heard) -> Fraction | None:
    """Seconds from "letting go" to "shut" within one recording, from the end of the one to the
    beginning of the other; None where not both were said in it, in this order.
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
    """Whether a door may have taken so long to shut."""
    return MIN_S <= seconds <= MAX_S


def closing_time(heard: Heard, seconds: Fraction) -> Heard:
    """A closing time as an answer, before all others of the same breath."""
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
