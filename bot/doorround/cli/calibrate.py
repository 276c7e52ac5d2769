"""doorround hear calibrate: fits recognition to an organisation's own labelled voice notes."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from doorround.config.data_folder import private_home
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage

if TYPE_CHECKING:  # the engines take a second to load, and most commands need none
    from doorround.hearing.adaptation.labelled_clips import LabelledClip
    from doorround.hearing.adaptation.probability_fit import Trial
    from doorround.hearing.decision.calibration import Calibration
    from doorround.hearing.decision.pipeline import RecognitionPipeline
    from doorround.hearing.engines.tuning import Tuning
    from doorround.hearing.grammar.active_grammar import ActiveGrammar

MIN_SPEAKERS = 4
"""Two to fit on and two to evaluate on."""

MAX_WORDS = 60
MAX_NAMED = 5
SURE = 0.9
"""From this probability, most answers are accepted without a read-back."""


def calibrate(folders: Sequence[Path], engine: str | None) -> None:
    """Fit on one half of the speakers, evaluate on the other, and store the coefficients in the
    data folder.

    A folder contains manifest.csv: columns file, words, speaker, and question, the key of the
    question that a recording answers; without one, it is recognised against the words of all such
    recordings. Words that are not an answer are _unknown_, a recording without speech is _silence_.
    Raises ValueError with what to do.
    """
    from doorround.hearing.adaptation.calibration_fit import written
    from doorround.hearing.decision.calibration import read_calibration, way_of
    from doorround.wiring import EngineLoader

    if len(folders) != 1:
        raise ValueError("Give one folder with a manifest.csv: doorround hear calibrate FOLDER.")
    settings = read_settings()
    clips = _usable(folders[0])
    grammar_for = _grammar_for(clips)
    fit_on, report_on = _halves(clips)
    _tell_strangers(clips, grammar_for)
    typer.echo(
        f"Hearing {len(clips)} recordings, each once more in noise. This may take some minutes."
    )
    pipeline = EngineLoader(settings, engine)()
    found = _fitted(pipeline, fit_on, report_on, grammar_for)
    if found is None:
        typer.echo("That is no improvement, so nothing was changed.")
        return
    way = way_of(pipeline.name)
    _keep(settings.calibration, way, written(way, found))
    read_calibration(way, settings.calibration)
    typer.echo(f"Saved in {settings.calibration}. Remove that file to go back.")


def _fitted(
    pipeline: RecognitionPipeline,
    fit_on: list[LabelledClip],
    report_on: list[LabelledClip],
    grammar_for: Callable[[LabelledClip], ActiveGrammar],
) -> Calibration | None:
    """Whatever improves recognition on held-out speakers, if anything does: other listener
    parameters, or otherwise new coefficients alone.
    """
    from doorround.hearing.adaptation.calibration_fit import best_tuning, fitted
    from doorround.hearing.adaptation.calibration_trials import spoken_in
    from doorround.hearing.decision.calibration import way_of

    before = pipeline.calibration
    way = way_of(pipeline.name)
    new = replace(fitted(way, _heard(pipeline, fit_on, grammar_for), before), tuning=before.tuning)
    trials = _heard(pipeline, report_on, grammar_for)
    if pipeline.has_listener:
        typer.echo("Trying other listener parameters. This takes ten times as long.")
        tuning = best_tuning(pipeline, lambda: spoken_in(fit_on, grammar_for))
        if tuning != before.tuning and (
            tuned := _tuned(pipeline, tuning, fit_on, report_on, grammar_for, trials)
        ):
            return tuned
        pipeline.use(before)
        typer.echo("The listener's own parameters stay as they are.")
    typer.echo(f"{len(fit_on)} recordings fitted, {len(trials)} trials of other speakers measured.")
    return new if _is_better(before, trials, new, trials) else None


def _tuned(
    pipeline: RecognitionPipeline,
    tuning: Tuning,
    fit_on: list[LabelledClip],
    report_on: list[LabelledClip],
    grammar_for: Callable[[LabelledClip], ActiveGrammar],
    trials: list[Trial],
) -> Calibration | None:
    """Coefficients for other listener parameters, if both together improve recognition on the
    held-out speakers.
    """
    from doorround.hearing.adaptation.calibration_fit import fitted, turns
    from doorround.hearing.adaptation.calibration_trials import spoken_in
    from doorround.hearing.decision.calibration import way_of

    before = pipeline.calibration
    spent = turns(pipeline, spoken_in(report_on, grammar_for))
    pipeline.use(replace(before, tuning=tuning))
    new = replace(
        fitted(way_of(pipeline.name), _heard(pipeline, fit_on, grammar_for), before), tuning=tuning
    )
    heard = _heard(pipeline, report_on, grammar_for)
    pipeline.use(new)
    now = turns(pipeline, spoken_in(report_on, grammar_for))
    typer.echo(
        f"With {tuning.table}: turns lost on other speakers before {spent:.1f}, after {now:.1f}."
    )
    return new if now < spent and _is_better(before, trials, new, heard) else None


def _is_better(
    before: Calibration, trials: list[Trial], new: Calibration, heard: list[Trial]
) -> bool:
    """Whether its loss on held-out speakers is lower, without more confident false accepts; prints
    the figures. heard: the same recordings as recognised with the new one.
    """
    from doorround.hearing.adaptation.calibration_fit import missed_by

    missed = missed_by(before, trials), missed_by(new, heard)
    wrong = _sure_and_wrong(before, trials), _sure_and_wrong(new, heard)
    typer.echo(f"Brier score, 0 is best: before {missed[0]:.4f}, after {missed[1]:.4f}.")
    typer.echo(
        f"Confident false accepts ({SURE:.0%} and more): before {wrong[0]}, after {wrong[1]}."
    )
    return missed[1] < missed[0] and wrong[1] <= wrong[0]


def _usable(folder: Path) -> list[LabelledClip]:
    """The clips of the manifest, with their words as in the grammar; unusable ones are reported and
    skipped. Raises ValueError.
    """
    from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, read_clips
    from doorround.hearing.audio.decoding import load_sound
    from doorround.hearing.audio.sound import UnusableAudio
    from doorround.hearing.lexicon.tokeniser import split_words

    good = []
    bad = []
    for clip in read_clips(folder):
        try:
            load_sound(clip.path)
        except UnusableAudio as error:
            bad.append(str(error))
            continue
        words = clip.words if clip.words in (STRANGE, SILENT) else " ".join(split_words(clip.words))
        good.append(replace(clip, words=words))
    if bad:
        typer.echo(f"{len(bad)} recordings cannot be used and are left out: {_some(bad)}")
    return good


def _tell_strangers(
    clips: Sequence[LabelledClip], grammar_for: Callable[[LabelledClip], ActiveGrammar]
) -> None:
    """Print words that are not an answer at their question and count as unknown: they may include
    typing errors.
    """
    from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE
    from doorround.hearing.grammar.phrase_list import automaton_of

    some = [clip for clip in clips if clip.question and clip.words not in (STRANGE, SILENT)]
    strange = [
        clip for clip in some if not automaton_of(grammar_for(clip)).accepts(clip.words.split())
    ]
    if strange:
        named = dict.fromkeys(f"“{clip.words}” at {clip.question}" for clip in strange)
        typer.echo(
            f"{len(strange)} recordings say something that is not an answer there, and count as"
            f" such: {_some(list(named))}"
        )


def _some(lines: list[str]) -> str:
    return "; ".join(lines[:MAX_NAMED]) + (
        f"; and {len(lines) - MAX_NAMED} more" if len(lines) > MAX_NAMED else ""
    )


def _sure_and_wrong(calibration: Calibration, trials: Sequence[Trial]) -> int:
    return sum(
        not trial.right and calibration.probability(trial.evidence) >= SURE for trial in trials
    )


def _grammar_for(clips: Sequence[LabelledClip]) -> Callable[[LabelledClip], ActiveGrammar]:
    """The grammar for each clip."""
    from doorround.config.resources import load_checklist
    from doorround.hearing.grammar.phrase_list import grammar_of_phrases
    from doorround.hearing.session.question_grammar import grammar_now
    from doorround.wiring import load_understanding

    checklist = load_checklist()
    understanding = load_understanding()
    words = _phrases([clip for clip in clips if not clip.question])
    plain = grammar_of_phrases(words) if words else None

    @cache
    def at(key: str) -> ActiveGrammar:
        try:
            question = checklist.ask(key)
        except KeyError as error:
            raise ValueError(f'There is no question "{key}". See doorround questions.') from error
        others = tuple(each for each in checklist.question if each.key != key)
        return grammar_now(
            understanding, ExpectedInput(Stage.ASKING, question, others, parts=checklist.question)
        )

    for key in {clip.question for clip in clips if clip.question}:
        at(key)  # an unknown key is reported at once

    def grammar_of(clip: LabelledClip) -> ActiveGrammar:
        if clip.question:
            return at(clip.question)
        assert plain
        return plain

    return grammar_of


def _phrases(clips: Sequence[LabelledClip]) -> tuple[str, ...]:
    from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE

    words = tuple(
        dict.fromkeys(clip.words for clip in clips if clip.words not in (STRANGE, SILENT))
    )
    if clips and not 2 <= len(words) <= MAX_WORDS:
        raise ValueError(
            f"{len(words)} different answers stand in the manifest without a question. Give 2 to"
            f" {MAX_WORDS}, or fill in the column question."
        )
    return words


def _halves(clips: Sequence[LabelledClip]) -> tuple[list[LabelledClip], list[LabelledClip]]:
    speakers = {clip.speaker for clip in clips}
    halves = (
        [clip for clip in clips if clip.for_tuning],
        [clip for clip in clips if not clip.for_tuning],
    )
    if len(speakers) < MIN_SPEAKERS or not all(halves):
        raise ValueError(
            f"The recordings are of {len(speakers)} speakers. Give those of {MIN_SPEAKERS} or more."
        )
    return halves


def _heard(
    pipeline: RecognitionPipeline,
    clips: Sequence[LabelledClip],
    grammar_for: Callable[[LabelledClip], ActiveGrammar],
) -> list[Trial]:
    from doorround.hearing.adaptation.calibration_trials import spoken_in, trial_of

    return [
        trial for spoken in spoken_in(clips, grammar_for) if (trial := trial_of(pipeline, spoken))
    ]


def _keep(path: Path, way: str, table: str) -> None:
    """Write the new coefficients beside those of other engine choices; missing ones come from the
    built-in set.
    """
    from doorround.hearing.adaptation.calibration_fit import written
    from doorround.hearing.decision.calibration import FILE, calibration_of

    whole = tomllib.loads((path if path.is_file() else FILE).read_text(encoding="utf-8"))
    others = [
        written(name, calibration_of(each))
        for name, each in whole.items()
        if isinstance(each, dict) and name != way
    ]
    private_home(path.parent)
    part = path.with_suffix(".part")
    part.write_text(
        "\n".join(['made = "doorround hear calibrate"\n', table, *others]), encoding="utf-8"
    )
    part.replace(path)
