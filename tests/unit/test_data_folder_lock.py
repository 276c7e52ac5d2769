"""Two programs at one data folder notice each other; one that was killed stands in nobody's way."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.config.data_folder_lock import NotAlone, only_chat, only_service

HOLDS = """
import sys, time
from pathlib import Path
from doorround.config.data_folder_lock import only_service
with only_service(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(600)
"""


def test_a_second_service_is_refused_until_the_first_is_gone_however_it_went(
    tmp_path: Path,
) -> None:
    first = subprocess.Popen([sys.executable, "-c", HOLDS, str(tmp_path)], stdout=subprocess.PIPE)
    assert first.stdout is not None and first.stdout.readline() == b"held\n"
    with pytest.raises(NotAlone) as refused, only_service(tmp_path):
        pass
    assert f"(process {first.pid})" in str(refused.value) and str(tmp_path) in str(refused.value)
    with only_service(tmp_path / "another"):
        pass
    first.kill()
    first.wait()
    first.stdout.close()
    with only_service(tmp_path):
        pass


def test_a_second_service_says_so_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    monkeypatch.setenv("DOORROUND_TELEGRAM_TOKEN", "4711:SecretSecretSecretSecretSecret")
    with only_service(tmp_path):
        done = CliRunner().invoke(app, ["serve"])
    assert (
        done.exit_code == 2
        and "Another doorround serve" in done.output
        and "Stop that one first" in done.output
    )
    assert not (tmp_path / "logbook.db").exists()


def test_a_second_chat_of_a_person_is_refused_and_anybody_elses_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    assert CliRunner().invoke(app, ["doors", "add", "14"]).exit_code == 0
    with only_chat(tmp_path, "Kim"):
        done = CliRunner().invoke(app, ["chat", "--person", "Kim"])
        assert done.exit_code == 2 and "Kim checks doors in another terminal" in done.output
        other = CliRunner().invoke(app, ["chat", "--person", "Sam"], input="")
        assert other.exit_code == 0 and "Which door are you at?" in other.output
    assert CliRunner().invoke(app, ["chat", "--person", "Kim"], input="").exit_code == 0
