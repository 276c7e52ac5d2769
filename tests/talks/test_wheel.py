"""The wheel carries all it needs: it runs outside the checkout, from its own files."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """The wheel, built and laid out in a folder of its own."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        str(folder),
        str(TOP),
    ]
    subprocess.run(command, check=True, capture_output=True)
    [wheel] = folder.glob("doorround-*.whl")
    site = folder / "site"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(site)
    return site


def run(site, *words):
    code = (
        f"import sys, doorround.cli.app as app; assert app.__file__.startswith({str(site)!r});"
        " app.main()"
    )
    environment = {
        **os.environ,
        "PYTHONPATH": str(site),
        "DOORROUND_HOME": str(site.parent / "home"),
    }
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, words)],
        cwd=site.parent,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_grammar_checklist_and_tables_travel_in_it(installed):
    names = {
        path.relative_to(installed).as_posix() for path in installed.rglob("*") if path.is_file()
    }
    assert {f"doorround/grammar/{path.name}" for path in (TOP / "grammar").iterdir()} <= names
    assert "doorround/domain/checklists/routine.toml" in names
    assert {
        f"doorround/logbook/sql/{path.name}"
        for path in (TOP / "bot/doorround/logbook/sql").iterdir()
    } <= names


def test_it_runs_outside_the_checkout(installed):
    assert "seals" in run(installed, "questions")
    assert '"outcome": "heard"' in run(
        installed, "hear", "--question", "seals", "--text", "painted over", "--json"
    )


def test_a_visit_by_voice_goes_as_written_outside_the_checkout(installed):
    assert "1 of 1 visits" in run(
        installed, "play", "--quiet", TOP / "demo_conversations" / "nonsense-silence-lorry.talk"
    )
