"""A home with at least one row in every table, and what somebody does to it behind the logbook's
back.
"""

import hashlib
import sqlite3
from contextlib import closing

import pytest
import small_visit as visit
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.dialogue.door_search import DoorSearch, SearchTurn
from doorround.dialogue.photos import Photo
from doorround.domain.people import Account, Role
from doorround.domain.stranger_limits import StrangerAttempts
from doorround.logbook.chain import digest
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox, NewUpdate
from doorround.logbook.message_effects import MessageEffect, MessageEffects
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.photos import keep_alone
from doorround.logbook.recordings import remember
from doorround.logbook.store import Logbook

PHOTO = b"a photo"
SENT = b"a voice note that was not understood"


def name(content):
    return hashlib.sha256(content).hexdigest()


def fill(logbook):
    """At least one row in every table."""
    now = visit.at(20)
    logbook.add_person("Mona", "supervisor", visit.at(-9))
    logbook.add_door(visit.door(), "Mona", visit.at(-5))
    turn = visit.start(visit.door())
    logbook.begin("chat", turn)
    logbook.keep("chat", "m1", visit.answer(turn.check, "seals", visit.PAINTED, 1))
    logbook.keep_search("other", None, SearchTurn(search=DoorSearch(), say=()), now)
    people, account = People(logbook), Account("telegram", "8")
    people.invite("ABCD1234", Role.CARETAKER, (), 7, "Mona", now)
    people.open_invite(account, "ABCD1234", "Joe", "agreed", now)
    people.remember(Account("telegram", "9"), StrangerAttempts(now, 1, now), now)
    chats = Chats(logbook)
    chats.belong("telegram/1", "Sam")
    chats.heard("telegram", now)
    Inbox(logbook, "telegram").store([NewUpdate("1", "telegram/1", {"text": "hello"}, None)], now)
    Outbox(logbook).put("telegram/1", "key", 1, Outgoing(text="Door 14 is out of service."), now)
    MessageEffects(logbook).put("telegram/1", "5", MessageEffect("c", ("a",), (), (), True), now)
    remember(logbook, name(SENT), "Sam")
    keep_alone(logbook, Photo(sha256=name(PHOTO), album=None, caption=None), "Sam", now)


@pytest.fixture
def home(tmp_path):
    home = tmp_path / "home"
    for folder, file, content in (
        ("recordings", name(SENT), SENT),
        ("photos", f"{name(PHOTO)}.jpg", PHOTO),
    ):
        (home / folder).mkdir(parents=True)
        (home / folder / file).write_bytes(content)
    with Logbook.open(home / "logbook.db") as logbook:
        fill(logbook)
    return home


@pytest.fixture
def verify(home, monkeypatch):
    monkeypatch.delenv("DOORROUND_SETTINGS", raising=False)
    monkeypatch.setenv("DOORROUND_HOME", str(home))

    def run(*words, command=("logbook", "verify")):
        done = CliRunner().invoke(app, [*command, *words])
        return done.exit_code, done.output

    return run


def unguarded(home, *steps):
    """Drop every trigger, do the steps, SQL or a function of the connection, put them back."""
    with closing(sqlite3.connect(home / "logbook.db", isolation_level=None)) as conn:
        triggers = conn.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        guards = triggers.fetchall()
        for guard, _ in guards:
            conn.execute(f"DROP TRIGGER {guard}")
        for step in steps:
            step(conn) if callable(step) else conn.execute(step)
        for _, sql in guards:
            conn.execute(sql)


def chain_anew(conn):
    before = "0" * 64
    fields = "seq, at, zone, kind, door, check_id, person, body"
    for row in conn.execute(f"SELECT {fields} FROM entries ORDER BY seq").fetchall():
        hash = digest((*row, before))
        conn.execute(
            "UPDATE entries SET before = ?, hash = ? WHERE seq = ?", (before, hash, row[0])
        )
        before = hash
