"""What is made of the engines' evidence: candidates for the judge, and how sure the best of them is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bot.hearing.denials import denials, unsaid
from bot.hearing.listener import Encoded, Listener, Score
from bot.hearing.recogniser import Allowed, Guess, Polarity

DECOYS = ("hmm", "what", "that", "so")
"""No answers, but what people say instead of one. Tuning half, ten words: 2.0 % of strangers' words taken for an answer
with the first alone, 1.0 % with two; with all, the likeliest stranger for yes or no falls from 0.55 to 0.40 at the same
share of answers refused. "now" would cost 2.9 % of the answers."""

FULL_LIST = 10
"""Short lists up to this length are scored whole whatever the proposer says; of longer ones the likeliest."""

FOLLOWED = 8
"""Phrases that the listener finds by itself in the whole grammar, where none of the others fits."""

POOR = 1.0
"""Nats: of answers that were heard rightly, 92 % fit better; of a list without what was said, few do."""

OPPOSITES = 3
"""Phrases of the opposite meaning that are always scored, the likeliest first."""

MOST_DENIALS = 8
"""A pass is always held against what denies it, though that be on no list: in pink noise of 5 dB both engines heard
"doesn't touch the floor" as "touches the floor" with 1.00."""

FAR = 100.0
"""Nats: stands for "nothing of the opposite meaning may be said here"."""

_ONES = "nought zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
_TENS = "seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand"
_PARTS = "half halve third quarter eighth sixteenth"
_NUMBERS = frozenset(f"{_ONES} {_TENS} {_PARTS}".split())
"""In pink noise of 5 dB "fifteen" was heard as "thirteen" and "two thousand and forty" as "two thousand and four", both
with 0.98 and more: the first sounds of a number are all that noise leaves."""

_OPPOSITE = {Polarity.PASS: Polarity.DEFECT, Polarity.DEFECT: Polarity.PASS}


@dataclass(frozen=True)
class Weighed:
    """Guesses, best first, and what speaks for the best. opposite: nats to the best phrase of opposite meaning.

    seconded: the other engine's first guess means the same, with the same numbers; None where there is no other engine.
    """

    guesses: tuple[Guess, ...]
    evidence: dict[str, float] = field(default_factory=dict)
    opposite: float = FAR
    seconded: bool | None = None


def judge(listener: Listener, encoded: Encoded, proposals: Sequence[Guess] | None, allowed: Allowed) -> Weighed:
    """Score what may have been said and weigh it. proposals: None where the listener hears alone."""
    polarity = _remembered(allowed.polarity)
    proposed = [guess.phrase for guess in proposals or ()]
    listed = listener.likeliest(encoded, allowed.short, FULL_LIST)
    phrases = list(dict.fromkeys([*proposed, *listed]))
    phrases += _opposites(listener, encoded, phrases, allowed, polarity)
    scores = listener.scores(encoded, [*phrases, *DECOYS])
    if scores[0].total < POOR or scores[0].phrase not in phrases:
        # nothing fits well: the proposer may be wrong, as it mostly is in noise, so the rest of the list is heard too,
        # and whatever else of the grammar the listener finds by itself
        followed = listener.follow(encoded, allowed)[:FOLLOWED]
        rest = [phrase for phrase in dict.fromkeys([*allowed.short, *followed]) if phrase not in phrases]
        phrases += rest
        scores = sorted([*scores, *listener.scores(encoded, rest)], key=lambda score: -score.total)
    answers = [score for score in scores if score.phrase in phrases]
    if not answers:
        return Weighed(())
    if polarity(answers[0].phrase) is Polarity.PASS:
        turned = [p for p in denials(answers[0].phrase, allowed) if polarity(p) is Polarity.DEFECT and p not in phrases]
        phrases += turned
        answers = sorted([*answers, *listener.scores(encoded, turned[:MOST_DENIALS])], key=lambda score: -score.total)
    opposite = _opposite_margin(answers, polarity)
    if polarity(answers[0].phrase) is Polarity.PASS:
        bare = listener.scores(encoded, unsaid(answers[0].phrase, allowed))
        opposite = min([opposite, *(answers[0].total - score.total for score in bare)])
        if opposite < 0:
            return Weighed(())
    evidence = _evidence(answers, [score for score in scores if score.phrase not in phrases])
    seconded = None
    if proposals is not None:
        best, first = answers[0].phrase, proposed[0] if proposed else ""
        evidence["agree"] = float(best == first)
        seconded = bool(first) and polarity(first) is polarity(best) and numbers_in(first) == numbers_in(best)
    return Weighed(_guesses(answers), evidence, opposite, seconded)


def numbers_in(phrase: str) -> tuple[str, ...]:
    """The words of a phrase that make its number, in order: engines that second each other must agree on them."""
    return tuple(word for word in phrase.split() if word.removesuffix("s") in _NUMBERS)


def _opposites(
    listener: Listener, encoded: Encoded, phrases: list[str], allowed: Allowed, polarity: Callable[[str], Polarity]
) -> list[str]:
    """Phrases that would turn the meaning over, from those of the short list that are not candidates yet."""
    if not any(polarity(phrase) is Polarity.PASS for phrase in phrases):
        return []
    against = [p for p in allowed.short if p not in phrases and polarity(p) is Polarity.DEFECT]
    return listener.likeliest(encoded, against, OPPOSITES)


def _evidence(answers: Sequence[Score], decoys: Sequence[Score]) -> dict[str, float]:
    best = answers[0]
    return {
        "total": best.total,
        "raw": best.raw,
        "margin": best.total - answers[1].total if len(answers) > 1 else FAR,
        "decoy": best.total - decoys[0].total if decoys else FAR,
    }


def _opposite_margin(answers: Sequence[Score], polarity: Callable[[str], Polarity]) -> float:
    best = answers[0]
    turned = _OPPOSITE.get(polarity(best.phrase))
    against = [score.total for score in answers if polarity(score.phrase) is turned]
    return best.total - max(against) if against else FAR


def _guesses(answers: Sequence[Score]) -> tuple[Guess, ...]:
    best = answers[0].total
    return tuple(Guess(each.phrase, 0.0, {"total": each.total, "behind": best - each.total}) for each in answers[:5])


def _remembered(polarity: Callable[[str], Polarity]) -> Callable[[str], Polarity]:
    known: dict[str, Polarity] = {}

    def tell(phrase: str) -> Polarity:
        if phrase not in known:
            known[phrase] = polarity(phrase)
        return known[phrase]

    return tell
