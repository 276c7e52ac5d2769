"""What is made of the engines' evidence: what was probably said, and what speaks for and against it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from bot.hearing.denials import denials, unsaid
from bot.hearing.listener import Encoded, Listener, Score
from bot.hearing.recogniser import Allowed, Guess, Polarity
from bot.hearing.said_numbers import numbers_in
from bot.hearing.words import says_twice

DECOYS = ("hmm", "what", "that", "so")
"""No answers, but what people say instead of one. Tuning half, ten words: 2.0 % of strangers' words taken for an answer
with the first alone, 1.0 % with two; with all, the likeliest stranger for yes or no falls from 0.55 to 0.40 at the same
share of answers refused. "now" would cost 2.9 % of the answers."""

REPEATED = 5.0
"""Nats that saying it twice costs: in noise "drop seal" was heard as "drop seal drop seal drops", a pass that nobody
said, and "painted edge seals" as "painted edge seals is painted edge seals"."""

UNUSUAL = 1.0
"""Nats that a command or a correction costs at a question: at pink noise of 5 dB "fitted" was heard as "finish", and
"pair" as "cancel"."""

MOST_DENIALS = 8
"""A pass is always held against what denies it, however badly that began: in pink noise of 5 dB both engines heard
"doesn't touch the floor" as "touches the floor" with 1.00."""

MOST_RIVALS, MOST_USUAL = 12, 20
"""Phrases that the other engine may choose among: those the listener finds best, and the usual ones; and no answers. In
all that may be said at a door it takes 0.7 s for 2 s of speech, among these 0.05."""

Second = Callable[[Sequence[str]], str | None]
"""Tells which of these phrases another engine hears; None for none of them."""

FAR = 100.0
"""Nats: stands for "nothing else may be said here"."""

MOST_GUESSES = 5

_OPPOSITE = {Polarity.PASS: Polarity.DEFECT, Polarity.DEFECT: Polarity.PASS}


@dataclass(frozen=True)
class Weighed:
    """Guesses, best first, and what speaks for the best.

    seconded: the other engine's first guess means the same, with the same numbers; None where there is no other engine.
    """

    guesses: tuple[Guess, ...]
    evidence: Mapping[str, float] = field(default_factory=dict)
    seconded: bool | None = None


def judge(listener: Listener, encoded: Encoded, second: Second | None, allowed: Allowed) -> Weighed:
    """Follow the grammar through the recording and weigh what fits best against what else may have been said.

    second: another engine that tells which of a few phrases it hears; None where the listener hears alone.
    """
    answers = _ranked(listener.follow(encoded, allowed), allowed)
    if not answers:
        return Weighed(())
    known = {score.phrase for score in answers}
    decoys = [word for word in DECOYS if word not in known]
    against: list[str] = []
    bare: list[str] = []
    if allowed.polarity(answers[0].phrase) is Polarity.PASS:
        bare = [phrase for phrase in unsaid(answers[0].phrase, allowed) if phrase not in known]
        turned = [phrase for phrase in denials(answers[0].phrase, allowed) if phrase not in known]
        against = [phrase for phrase in turned if allowed.polarity(phrase) is Polarity.DEFECT][:MOST_DENIALS]
    more = listener.scores(encoded, [*against, *bare, *decoys])
    answers = _ranked([*answers, *(score for score in more if score.phrase in against)], allowed)
    evidence = _evidence(answers, [score for score in more if score.phrase in decoys], allowed)
    unspoken = [answers[0].total - score.total for score in more if score.phrase in bare]
    if min(unspoken, default=FAR) < 0:
        return Weighed(())
    evidence["opposite"] = min([evidence["opposite"], *unspoken])
    seconded = None
    if second is not None:
        few = [score.phrase for score in answers[:MOST_RIVALS]]
        other = second(list(dict.fromkeys([*few, *against, *allowed.short[:MOST_USUAL], *DECOYS])))
        seconded = other is not None and _same(answers[0].phrase, other, allowed)
        evidence |= _second_opinion(answers[0].phrase, other, allowed)
    return Weighed(_guesses(answers), evidence, seconded)


def _second_opinion(best: str, other: str | None, allowed: Allowed) -> dict[str, float]:
    """agree: 1 where the other engine heard the same meaning. against: 1 where it heard the opposite. Else 0."""
    one, two = allowed.read(best), allowed.read(other) if other else None
    return {
        "agree": float(two is not None and two.gist == one.gist),
        "against": float(two is not None and two.polarity is _OPPOSITE.get(one.polarity)),
    }


def _ranked(answers: Sequence[Score], allowed: Allowed) -> list[Score]:
    """Best first, once commands, corrections and repeated faults have paid for being seldom said."""
    paid: dict[str, Score] = {}
    for score in answers:
        reading = allowed.read(score.phrase)
        dear = (0.0 if reading.usual else UNUSUAL) + (REPEATED if says_twice(score.phrase) else 0.0)
        total = score.total if score.cost_paid else score.total - dear
        paid.setdefault(score.phrase, replace(score, total=total, cost_paid=True))
    return sorted(paid.values(), key=lambda score: -score.total)


def _same(one: str, other: str, allowed: Allowed) -> bool:
    return allowed.polarity(one) is allowed.polarity(other) and numbers_in(one) == numbers_in(other)


def _evidence(answers: Sequence[Score], decoys: Sequence[Score], allowed: Allowed) -> dict[str, float]:
    """total, raw, surprise: of the best. margin: nats to the best phrase that means something else. decoy: to the best
    decoy. opposite: to the best phrase of opposite meaning."""
    best, reading = answers[0], allowed.read(answers[0].phrase)
    others = [score.total for score in answers if allowed.read(score.phrase).gist != reading.gist]
    turned = _OPPOSITE.get(reading.polarity)
    against = [score.total for score in answers if turned and allowed.polarity(score.phrase) is turned]
    return {
        "total": best.total,
        "raw": best.raw,
        "surprise": best.surprise,
        "margin": best.total - max(others) if others else FAR,
        "decoy": best.total - decoys[0].total if decoys else FAR,
        "opposite": best.total - max(against) if against else FAR,
    }


def _guesses(answers: Sequence[Score]) -> tuple[Guess, ...]:
    best = answers[0].total
    return tuple(
        Guess(each.phrase, 0.0, {"total": each.total, "behind": best - each.total}) for each in answers[:MOST_GUESSES]
    )
