"""A logbook whose file is damaged: each command says so in plain words."""

import sqlite3
from contextlib import closing

import pytest
from tampered_home import home, verify
from typer.testing import CliRunner

from doorround.cli.app import app

__all__ = ["home", "verify"]


@pytest.fixture(params=["entries", "strangers", "row_digests"])
def damaged(home, request):
    with closing(sqlite3.connect(home / "logbook.db")) as conn:
        [(size,)] = conn.execute("PRAGMA page_size").fetchall()
        sql = "SELECT rootpage FROM sqlite_master WHERE name = ?"
        [(page,)] = conn.execute(sql, (request.param,)).fetchall()
    with (home / "logbook.db").open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xa5" * size)
    return request.param


def test_verify_says_that_the_file_is_damaged_and_what_to_do(verify, damaged):
    code, said = verify()
    assert code == 1
    assert "the file cannot be read to its end" in said
    assert "Whether a disk did this or somebody, the file cannot tell." in said
    assert "copy the data folder as it is" in said


@pytest.mark.parametrize("command", [("logbook", "show"), ("doors", "list"), ("doctor",)])
def test_no_command_ends_in_a_traceback(home, damaged, command, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    done = CliRunner().invoke(app, [*command])
    assert done.exception is None or isinstance(done.exception, SystemExit)
    if damaged == "entries":
        assert done.exit_code and "damaged" in done.output + done.stderr
