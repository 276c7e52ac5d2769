"""Rescoring: combines the engines' scores and computes evidence for and against the hypotheses."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from itertools import islice

from doorround.english.fillers import DECOYS
from doorround.hearing.decision.competitors import Competitors, competitors_of
from doorround.hearing.decision.scored_hypotheses import FAR, ScoredHypotheses
from doorround.hearing.engines.moonshine_engine import Fit
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.engines.score import Encoded, Score
from doorround.hearing.engines.tuning import MAX_SHARED
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_numbers import numbers_in
from doorround.hearing.lexicon.tokeniser import says_twice

REPEATED = 12.0
"""Penalty for a repeated phrase, in nats: in noise "drop seal" was recognised as "drop seal drop
seal drops", a pass that nobody said, and "worn hinges" (14.0) as "worn hinges four hinges worn
hinges" (22.9).
"""

UNUSUAL = 3.0
"""Penalty for a command or correction at a question, in nats: in pink noise at 5 dB "fitted" was
recognised as "finish", and "pair" as "cancel". Voices of the tuning half, 1,056 trade phrases each:
with 0, 97.1 % are correct in pink noise at 5 dB and 97.2 under other voices at 10; with 1, 97.3 and
97.4; with 3 or 6, 97.6 and 97.6; clean, 99.8 to 99.9.
"""

NOTHING = 1.0
"""Penalty for non-answers, in nats; raising it weakens rejection."""

WORD = 0.75
"""Penalty for each further word, in nats: other voices turn "clear window" into "clear window all
right".
"""

SECOND_SHARE = 0.3
"""Weight of the second listener's score. Tuning half, ten words, 354 clips: 98.9 % correct, the
same with 0.2 or 0.5, 98.3 with 0. 1,314 trade phrases each in pink noise at 5 dB and under other
voices at 10, before the first listener's window was widened: 97.3 and 97.0 % correct, with 0 96.8
and 96.4, with 0.6 97.6 and 96.8.
"""

SECOND_SPREAD = 12.0
"""Floor of the second listener's scores, in nats below its best, since it errs more in noise. With
8, two fewer of those 3,942 phrases (including the clean ones) are correct; with more than 12, as
many.
"""

MAX_UNREAD = 2
"""Maximum number of meaningless phrases of the grammar ("worn hinges four hinges worn hinges") that
are scored: they are no answer but may fit better than one.
"""

MAX_RIVALS = 8
"""Number of the listener's best phrases that the other engine may choose from."""

MAX_USUAL = 20
"""Number of usual phrases that it may also choose from, besides decoys. With the whole grammar of a
door it takes 0.7 s for 2 s of speech, with these 0.05.
"""

Second = Callable[[Sequence[str]], str | None]
"""Another engine's choice of these phrases; None if it chooses none."""

Fits = Callable[[Sequence[str]], Callable[[], Mapping[str, Fit]]]
"""Starts the second listener on these phrases; the returned function waits for their scores."""

NO_ANSWER = 3.0
"""Nats by which a non-answer must fit better for the best phrase to be rejected; with less, it is
read back. With 0, 4 of 352 correct trade phrases under other voices at 10 dB were rejected: "wooden
door".
"""


MAX_GUESSES = 5

_OPPOSITE = {Polarity.PASS: Polarity.DEFECT, Polarity.DEFECT: Polarity.PASS}


def rescore(
    listener: WhisperEngine,
    encoded: Encoded,
    second: Second | None,
    grammar: ActiveGrammar,
    fits: Fits | None = None,
    shortlist: int = MAX_SHARED,
) -> ScoredHypotheses:
    """Search the grammar and score the best phrase against its competitors.

    second: another engine that chooses from a few phrases. fits: scores of the second listener.
    Either may be None. shortlist: number of the first listener's best phrases that the second one
    scores too.
    """
    shared = _Shared(fits)
    found = _ranked(listener.search(encoded, grammar), grammar)
    known = [each for each in found if grammar.read(each.phrase).known]
    answers = shared.scored(_few(known, grammar, shortlist))
    unknown = [each for each in found if not grammar.read(each.phrase).known]
    unread = shared.scored(unknown[:MAX_UNREAD])
    if not answers:
        return ScoredHypotheses(())
    scored = [score.phrase for score in (*answers, *unread)]
    held = competitors_of(answers[0].phrase, grammar, scored)
    shared.begin(held.all)
    more = shared.scored(_priced(listener.scores(encoded, held.all), grammar))
    answers = [*answers, *(score for score in more if score.phrase in held.against)]
    answers.sort(key=lambda score: -score.total)
    decoys = [score for score in more if score.phrase in held.decoys]
    evidence = _evidence(answers, decoys, unread, grammar)
    unspoken = _behind(answers[0], more, held.bare)
    elsewhere = _behind(answers[0], more, (*held.shorter, *held.elsewhere))
    unanswered = min([*unspoken, *elsewhere], default=FAR)
    if unanswered < -NO_ANSWER:
        return ScoredHypotheses(())
    evidence["opposite"] = min([evidence["opposite"], *unspoken])
    evidence["unanswered"] = unanswered
    evidence["ended"] = listener.ended(encoded, answers[0].phrase)
    return _seconded(answers, held, evidence, shared if fits else None, second, grammar)


def _seconded(
    answers: Sequence[Score],
    held: Competitors,
    evidence: dict[str, float],
    shared: _Shared | None,
    second: Second | None,
    grammar: ActiveGrammar,
) -> ScoredHypotheses:
    """Add the opinions of the other engines to the answers. shared: None if there is no second
    listener.
    """
    rivals = [*(score.phrase for score in answers[:MAX_RIVALS]), *held.against]
    best = answers[0].phrase
    opinions: list[str | None] = []
    if shared is not None:
        opinions.append(shared.best([*rivals, *held.decoys]))
        evidence |= shared.evidence(best)
    if second is not None:
        few = dict.fromkeys([*rivals, *grammar.short[:MAX_USUAL], *DECOYS])
        opinions.append(second(list(few)))
    if not opinions:
        return ScoredHypotheses(_guesses(answers), evidence)
    seconded = all(other is not None and _same(best, other, grammar) for other in opinions)
    evidence |= _second_opinion(best, opinions, grammar)
    return ScoredHypotheses(_guesses(answers), evidence, seconded)


def _behind(best: Score, others: Sequence[Score], phrases: Collection[str]) -> list[float]:
    """Margin of the best over each of these phrases, in nats."""
    return [best.total - score.total for score in others if score.phrase in phrases]


def _few(answers: Sequence[Score], grammar: ActiveGrammar, most: int) -> list[Score]:
    """The best answers, with at least two different meanings if there are any."""
    few = list(answers[:most])
    gists = {grammar.read(each.phrase).gist for each in few}
    others = (each for each in answers[most:] if grammar.read(each.phrase).gist not in gists)
    return few if len(gists) > 1 else [*few, *islice(others, 1)]


class _Shared:
    """Combines the second listener's scores with those of the first."""

    def __init__(self, fits: Fits | None) -> None:
        self._ask = fits
        self._fits = dict[str, Fit]()
        self._asked: Callable[[], Mapping[str, Fit]] | None = None

    def begin(self, phrases: Sequence[str]) -> None:
        """Start the second listener on phrases while the first one scores them."""
        if self._ask is not None and phrases:
            self._asked = self._ask(phrases)

    def scored(self, scores: Sequence[Score]) -> list[Score]:
        """The scores plus the weighted scores of the second listener, best first."""
        if self._ask is not None and scores:
            asked = self._asked or self._ask([score.phrase for score in scores])
            self._fits |= asked()
            self._asked = None
            least = max(fit.total for fit in self._fits.values()) - SECOND_SPREAD
            of_second = {each.phrase: max(least, self._fits[each.phrase].total) for each in scores}
            scores = [
                replace(each, total=each.total + SECOND_SHARE * of_second[each.phrase])
                for each in scores
            ]
        return sorted(scores, key=lambda score: -score.total)

    def best(self, phrases: Sequence[str]) -> str:
        """The phrase with the second listener's highest score."""
        return max(phrases, key=lambda phrase: self._fits[phrase].total)

    def evidence(self, best: str) -> dict[str, float]:
        """fit, strange: the second listener's score of the best phrase, and its surprise."""
        return {"fit": self._fits[best].total, "strange": self._fits[best].surprise}


def _second_opinion(
    best: str, opinions: Sequence[str | None], grammar: ActiveGrammar
) -> dict[str, float]:
    """agree: 1 if all others chose the same meaning. against: 1 if one chose the opposite.

    Else 0.
    """
    one = grammar.read(best)
    others = [grammar.read(other) if other else None for other in opinions]
    return {
        "agree": float(all(two is not None and two.gist == one.gist for two in others)),
        "against": float(
            any(two is not None and two.polarity is _OPPOSITE.get(one.polarity) for two in others)
        ),
    }


def _priced(answers: Sequence[Score], grammar: ActiveGrammar) -> list[Score]:
    """Subtract the penalties for commands, corrections, repetitions and long phrases, all rare."""
    paid: dict[str, Score] = {}
    for score in answers:
        reading = grammar.read(score.phrase)
        seldom = (
            0.0
            if score.phrase in DECOYS or reading.usual
            else UNUSUAL
            if reading.known
            else NOTHING
        )
        dear = seldom + (REPEATED if says_twice(score.phrase) else 0.0)
        paid.setdefault(
            score.phrase, replace(score, total=score.total - dear - WORD * score.phrase.count(" "))
        )
    return list(paid.values())


def _ranked(answers: Sequence[Score], grammar: ActiveGrammar) -> list[Score]:
    """The scores after penalties, best first."""
    return sorted(_priced(answers, grammar), key=lambda score: -score.total)


def _same(one: str, other: str, grammar: ActiveGrammar) -> bool:
    return grammar.polarity(one) is grammar.polarity(other) and numbers_in(one) == numbers_in(other)


def _evidence(
    answers: Sequence[Score],
    decoys: Sequence[Score],
    unread: Sequence[Score],
    grammar: ActiveGrammar,
) -> dict[str, float]:
    """total, raw, surprise: of the best phrase. margin: nats to the best phrase with a different
    meaning or none, negative if that fits better. decoy: nats to the best decoy. opposite: nats to
    the best phrase of opposite meaning.
    """
    best = answers[0]
    reading = grammar.read(answers[0].phrase)
    others = [
        score.total
        for score in (*answers, *unread)
        if grammar.read(score.phrase).gist != reading.gist
    ]
    turned = _OPPOSITE.get(reading.polarity)
    against = [
        score.total for score in answers if turned and grammar.polarity(score.phrase) is turned
    ]
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
        Guess(each.phrase, 0.0, {"total": each.total, "behind": best - each.total})
        for each in answers[:MAX_GUESSES]
    )
