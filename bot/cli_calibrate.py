"""doorround hear calibrate: hearing fitted to an organisation's own labelled voice notes."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from bot.dialogue.listening import Listening
from bot.domain.check import Stage
from bot.settings import read_settings

if TYPE_CHECKING:  # the engines take a second to load, and most commands need none
    from bot.hearing.clips import Clip
    from bot.hearing.ear import Ear
    from bot.hearing.fitting import Trial
    from bot.hearing.recogniser import Allowed

LEAST_SPEAKERS = 4
"""Two to fit on and two to report on."""

MOST_WORDS = 60


def calibrate(folders: Sequence[Path], engine: str | None) -> None:
    """Fit on one half of the speakers, report on the other, and keep the coefficients in the data folder.

    A folder holds manifest.csv: columns file, words, speaker, and question, the key of the question that a recording
    answers; without one, it is heard with the words of all such recordings. Words that are no answer are _unknown_, a
    recording in which nobody speaks is _silence_. Raises ValueError with what to do.
    """
    from bot.hearing.calibrate import fitted, missed_by, written
    from bot.hearing.calibration import read_calibration, way_of
    from bot.hearing.clips import read_clips
    from bot.wiring import Ears

    if len(folders) != 1:
        raise ValueError("Give one folder with a manifest.csv: doorround hear calibrate FOLDER.")
    settings, clips = read_settings(), read_clips(folders[0])
    allowed_for = _allowed_for(clips)
    fit_on, report_on = _halves(clips)
    ear = Ears(settings, engine)()
    found = fitted(way_of(ear.name), _heard(ear, fit_on, allowed_for), ear.calibration)
    trials = _heard(ear, report_on, allowed_for)
    way = way_of(ear.name)
    before, after = missed_by(ear.calibration, trials), missed_by(found, trials)
    typer.echo(
        f"{len(fit_on)} recordings fitted, {len(trials)} trials of other speakers measured. Brier score, 0 is best:"
    )
    typer.echo(f"before {before:.4f}, after {after:.4f}.")
    if after >= before:
        typer.echo("That is no better, so nothing was changed.")
        return
    _keep(settings.calibration, way, written(way, found))
    read_calibration(way, settings.calibration)
    typer.echo(f"Kept in {settings.calibration}. Remove that file to go back.")


def _allowed_for(clips: Sequence[Clip]) -> Callable[[Clip], Allowed]:
    """What may be said where each clip was."""
    from bot.hearing.allowed import allowed_now
    from bot.hearing.phrases import allowed_from_phrases
    from bot.resources import load_checklist
    from bot.wiring import load_understanding

    checklist, understanding = load_checklist(), load_understanding()
    words = _phrases([clip for clip in clips if not clip.question])
    plain = allowed_from_phrases(words) if words else None

    def allowed(clip: Clip) -> Allowed:
        if not clip.question:
            assert plain
            return plain
        try:
            question = checklist.ask(clip.question)
        except KeyError as error:
            raise ValueError(f'There is no question "{clip.question}". See doorround questions.') from error
        others = tuple(each for each in checklist.question if each.key != question.key)
        return allowed_now(understanding, Listening(Stage.ASKING, question, others, parts=checklist.question))

    return allowed


def _phrases(clips: Sequence[Clip]) -> tuple[str, ...]:
    from bot.hearing.clips import SILENT, STRANGE

    words = tuple(dict.fromkeys(clip.words for clip in clips if clip.words not in (STRANGE, SILENT)))
    if clips and not 2 <= len(words) <= MOST_WORDS:
        raise ValueError(
            f"{len(words)} different answers stand in the manifest without a question. Give 2 to {MOST_WORDS}, "
            "or fill in the column question."
        )
    return words


def _halves(clips: Sequence[Clip]) -> tuple[list[Clip], list[Clip]]:
    speakers = {clip.speaker for clip in clips}
    halves = [clip for clip in clips if clip.for_tuning], [clip for clip in clips if not clip.for_tuning]
    if len(speakers) < LEAST_SPEAKERS or not all(halves):
        raise ValueError(f"The recordings are of {len(speakers)} speakers. Give those of {LEAST_SPEAKERS} or more.")
    return halves


def _heard(ear: Ear, clips: Sequence[Clip], allowed_for: Callable[[Clip], Allowed]) -> list[Trial]:
    from bot.hearing.calibrate import spoken_in, trial_of

    return [trial for spoken in spoken_in(clips, allowed_for) if (trial := trial_of(ear, spoken))]


def _keep(path: Path, way: str, table: str) -> None:
    """Write the new coefficients beside those of other ways of hearing; those that came with the program fill up."""
    from bot.hearing.calibrate import written
    from bot.hearing.calibration import FILE, Calibration, Line

    whole = tomllib.loads((path if path.is_file() else FILE).read_text(encoding="utf-8"))
    others = [
        written(name, Calibration(Line(**each["right"]), Line(**each["opposite"])))
        for name, each in whole.items()
        if isinstance(each, dict) and name != way
    ]
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    part.write_text("\n".join(['made = "doorround hear calibrate"\n', table, *others]), encoding="utf-8")
    part.replace(path)
