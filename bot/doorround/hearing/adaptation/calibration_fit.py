"""Fits calibration to labelled recordings: clips → evidence → the pipeline's coefficients."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, replace

from doorround.hearing.adaptation.calibration_trials import SpokenClip
from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE
from doorround.hearing.adaptation.probability_fit import (
    Trial,
    brier,
    enough,
    fit_opposite,
    fit_right,
)
from doorround.hearing.decision.calibration import (
    COVERS,
    Calibration,
    LogisticModel,
    is_beside_another,
    is_quiet,
    read_calibration,
)
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import FAR
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.tuning import TRIED, Tuning
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.error_costs import read_costs

WAYS = ("listeners", "pair", "listener", "pocketsphinx")
"""Engine combinations that are fitted."""

VOSK = """
# No English Vosk model could be had to measure with, so this is a prior and no fit: every word
# of confidence 1 gives 0.73: alone, Vosk only offers back what it heard. With the listener as
# judge, "pair" or "listeners" is used.
[vosk.right]
bias = -3.0
weights = { confidence = 4.0 }
[vosk.opposite]
bias = -3.0
weights = { }
"""

RIGHT: Mapping[str, tuple[str, ...]] = {
    "listeners": ("total", "margin", "decoy", "fit", "ended"),
    "pair": ("total", "margin", "decoy", "agree", "surprise", "ended"),
    "listener": ("total", "margin", "decoy", "surprise", "ended"),
    "pocketsphinx": ("loop", "talk", "gap", "log_frames", "voice"),
    "vosk": ("confidence",),
}
"""Features for the best guess, by engine combination (way_of)."""

APART = ("listeners", "pair", "listener")
"""Engine combinations whose features are weighted differently with a quiet background."""

OPPOSITE: Mapping[str, tuple[str, ...]] = {
    "listeners": ("opposite", "against", "murmur", "quiet"),
    "pair": ("opposite", "against", "murmur", "quiet"),
    "listener": ("opposite", "murmur", "quiet"),
    "pocketsphinx": ("turned", "murmur", "depth"),
    "vosk": ("confidence", "murmur", "depth"),
}
"""Features for its opposite."""


EVIDENCE: Mapping[str, tuple[str, ...]] = {
    "listeners": ("end", "ended", "second_end", "overtime", "extra", "apart", "nuclei", "rather"),
    "pair": ("end", "ended", "overtime", "extra", "apart", "nuclei"),
    "listener": ("end", "ended", "overtime", "extra", "apart", "nuclei"),
}
"""Features for the phrase being all that was said."""

WORD_EVIDENCE = ("end", "ended", "second_end", "overtime", "nuclei")
"""Features indicating another spoken word that was not transcribed."""

WORD_WEIGHT = 3.0
"""Weight of a complete one-word utterance: it is more frequent than in the trials."""

PHRASE_WEIGHT = 15.0
"""Weight of a complete phrase in quiet, for the same reason. In noise, where the listeners
discriminate less, a phrase has weight one. With 15, of the fitting half's 221 phrases in quiet that
go on, apart from what the grammar accepts as an answer, the highest probability of being complete
is 0.78; from 0.92 it would be entered.
"""

MIN_OPPOSED = 10
"""Minimum number of answers mistaken for their opposite, below which nothing can be fitted for
that.
"""

MIN_SPARED = 0.02
"""Minimum share of turns that another value must save; less may be chance."""


def fitted(way: str, trials: Sequence[Trial], before: Calibration | None = None) -> Calibration:
    """The coefficients for this engine combination. Raises ValueError for too few recordings.

    before: its line for opposites is kept if too few were confused to fit one.
    """
    right, quiet = _by_quiet(way, trials)
    # PocketSphinx looks for the opposite of passes only
    trials = [trial for trial in trials if trial.evidence.get("turned", 0.0) < FAR]
    if before and sum(bool(trial.opposed) for trial in trials) < MIN_OPPOSED:
        return Calibration(right, before.opposite, quiet=quiet)
    return Calibration(right, fit_opposite(trials, OPPOSITE[way]), quiet=quiet)


def fitted_coverage(
    way: str, before: Calibration, trials: Sequence[tuple[str, Trial]]
) -> Calibration:
    """With lines for whether a phrase is all that was said: from recognised phrases, each with its
    trial, which is right if nothing else was said. Raises ValueError for too few.
    """
    phrases, words = (
        [trial for phrase, trial in trials if (" " in phrase) is longer] for longer in (True, False)
    )
    loud, quiet = (
        [trial for trial in phrases if is_quiet(trial.evidence) is still] for still in (False, True)
    )
    covers = fit_right(loud, EVIDENCE[way])
    covers_quiet = fit_right(_weighted(quiet, PHRASE_WEIGHT), EVIDENCE[way])
    by_ends = [trial for trial in words if not is_beside_another(trial.evidence)]
    word = fit_right(
        _weighted(by_ends, WORD_WEIGHT),
        tuple(name for name in WORD_EVIDENCE if name in EVIDENCE[way]),
    )
    return replace(before, covers=covers, covers_quiet=covers_quiet, covers_word=word)


def _weighted(trials: Sequence[Trial], alone: float) -> list[Trial]:
    return [replace(trial, weight=alone if trial.right else 1.0) for trial in trials]


def _by_quiet(way: str, trials: Sequence[Trial]) -> tuple[LogisticModel, LogisticModel | None]:
    """One line for a quiet background and one for the rest; a single line if either has too few
    trials, and for PocketSphinx and Vosk, which judge by the words alone.
    """
    halves = [
        [trial for trial in trials if is_quiet(trial.evidence) is quiet] for quiet in (False, True)
    ]
    if way in APART and all(enough(half, [trial.right for trial in half]) for half in halves):
        loud, quiet = (fit_right(half, RIGHT[way]) for half in halves)
        return loud, quiet
    return fit_right(trials, RIGHT[way]), None


def written(way: str, found: Calibration, note: str = "") -> str:
    """The coefficients of one engine combination, as TOML."""
    lines = [note] if note else []
    if found.tuning != Tuning():
        lines += [f"[{way}]", f"tuning = {{ {found.tuning.table} }}"]
    more = {name: getattr(found, name) for name in ("quiet", *COVERS)}
    named = {"right": found.right, "opposite": found.opposite} | {
        name: line for name, line in more.items() if line
    }
    for name, line in named.items():
        weights = ", ".join(f"{evidence} = {weight}" for evidence, weight in line.weights.items())
        lines += [f"[{way}.{name}]", f"bias = {line.bias}", f"weights = {{ {weights} }}"]
    return "\n".join(lines) + "\n"


def carried(found: Mapping[str, Calibration], made: str) -> str:
    """The bundled file with these engine combinations replaced. made: what they were fitted on."""
    tables = [written(way, found.get(way) or read_calibration(way)) for way in WAYS]
    return "\n".join([f'made = "{made}"\n', *tables]) + VOSK


def turns_of(pipeline: RecognitionPipeline, spoken: SpokenClip) -> float:
    """Cost of one recording as recognised, in turns of talk (costs.toml): 0 for a correct entry."""
    heard = pipeline.listen(spoken.sound, spoken.grammar)
    costs = read_costs()
    asked = spoken.words not in (STRANGE, SILENT)
    if heard.phrase is None:
        return costs.ask_again if asked else 0.0
    best = spoken.grammar.read(heard.phrase)
    said = spoken.grammar.read(spoken.words) if asked else None
    right = said is not None and said.gist == best.gist
    turned = said is not None and {said.polarity, best.polarity} == {Polarity.PASS, Polarity.DEFECT}
    wrong = 0.0 if right else best.stakes.flip if turned else best.stakes.astray
    if heard.outcome is Outcome.HEARD:
        return wrong
    again = costs.ask_again if asked and not right else 0.0
    return (best.stakes.read_back or costs.read_back) + again + costs.slip * wrong


def turns(pipeline: RecognitionPipeline, spoken: Iterable[SpokenClip]) -> float:
    """The same for many."""
    return sum(turns_of(pipeline, each) for each in spoken)


def best_tuning(pipeline: RecognitionPipeline, said: Callable[[], Iterable[SpokenClip]]) -> Tuning:
    """Coordinate search for the listener parameters with the lowest total cost on these recordings:
    each of TRIED in turn, kept if it saves MIN_SPARED of the turns. The pipeline is left unchanged.
    """
    before = pipeline.calibration
    best = before.tuning
    least = turns(pipeline, said())
    for name, values in TRIED.items():
        for value in values:
            tried = Tuning(**(asdict(best) | {name: value}))
            pipeline.use(replace(before, tuning=tried))
            cost = turns(pipeline, said())
            if cost < least * (1 - MIN_SPARED):
                best = tried
                least = cost
    pipeline.use(before)
    return best


def missed_by(found: Calibration, trials: Sequence[Trial]) -> float:
    """Brier score of the probability of being right, 0 to 1."""
    return brier(found, trials)
