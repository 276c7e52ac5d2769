"""What an installation without the extras does: it works, and says what adds what is missing."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import small_visit as visit

from doorround.channels.messenger.outbound.chart_image import draw_chart
from doorround.logbook.store import Logbook
from doorround.reports.picture import NoPictures, draw_summary

TOP = Path(__file__).parents[2]
EXTRAS = {"plots": "matplotlib", "aloud": "hibari-tts", "ifc": "ifcopenshell"}
WITHOUT = """import sys
for name in ("matplotlib", "hibari", "ifcopenshell", "moonshine_voice"):
    sys.modules[name] = None
from doorround.cli.app import main
main()"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door("14"), "Mona", visit.at(0))
    return home


def without_extras(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    given = {**os.environ, "DOORROUND_HOME": str(home)}
    command = [sys.executable, "-c", WITHOUT, *words]
    return subprocess.run(command, env=given, capture_output=True, text=True, check=False)


def test_what_is_an_extra_is_not_needed() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for extra, package in EXTRAS.items():
        assert any(each.startswith(package) for each in project["optional-dependencies"][extra])
        assert not any(each.startswith(package) for each in project["dependencies"])
        locked = (TOP / "requirements.lock").read_text(encoding="utf-8")
        assert f"\n{package}==" not in locked


@pytest.mark.parametrize(
    "words", [["due", "--on", "2026-03-02"], ["summary", "--on", "2026-03-02"], ["doors", "list"]]
)
def test_commands_work_without_extras(home: Path, words: list[str]) -> None:
    said = without_extras(home, *words)
    assert (said.returncode, said.stderr) == (0, "")


def test_a_picture_without_its_extra_says_what_to_install(home: Path, tmp_path: Path) -> None:
    picture = tmp_path / "day.png"
    said = without_extras(home, "summary", "--on", "2026-03-02", "--picture", str(picture))
    assert said.returncode == 2 and not picture.exists()
    assert "run pip install '.[plots]'" in said.stderr and said.stderr.count("\n") == 1


async def test_a_summary_goes_out_without_its_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "doorround.reports.chart", raising=False)
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    monkeypatch.setitem(sys.modules, "matplotlib.axes", None)
    with pytest.raises(NoPictures):
        draw_summary({}, dark=False)
    assert await draw_chart({}) is None
