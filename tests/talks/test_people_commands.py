"""doorround people, recordings tidy and doors link, run as a person runs them."""

from datetime import UTC, datetime

from test_commands import run  # noqa: F401

from doorround.domain.people import Role
from doorround.logbook.store import Logbook

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def test_an_invite_is_made_listed_and_taken_back(run):  # noqa: F811
    made = run("people", "invite", "--role", "caretaker", "--site", "Mill House", "--days", "3")
    assert "No link: set DOORROUND_BOT_NAME" in made and "For one caretaker, until " in made
    id = made.rstrip(".\n")[-8:]
    assert f"invite {id}: caretaker" in run("people", "list")
    assert run("people", "withdraw", id) == f"Invite {id} is withdrawn.\n"
    assert "invite" not in run("people", "list").replace("people invite", "")
    assert "is not a role" in run("people", "invite", "--role", "boss", fails=True)


def test_a_link_has_the_bots_name(run, monkeypatch):  # noqa: F811
    monkeypatch.setenv("DOORROUND_BOT_NAME", "@some_bot")
    assert "https://t.me/some_bot?start=i1" in run("people", "invite", "--role", "supervisor")
    run("doors", "add", "12")
    assert run("doors", "link", "12").startswith("https://t.me/some_bot?start=d1a")
    assert "still valid" in run("doors", "renew-links")
    assert run("doors", "link", "12").startswith("https://t.me/some_bot?start=d1b")


def test_who_is_unknown_is_told_so(run):  # noqa: F811
    for words in (
        ("role", "Sam", "auditor"),
        ("remove", "Sam"),
        ("handover", "Kim", "Sam"),
        ("data", "Sam"),
    ):
        assert "Nobody called Sam is known" in run("people", *words, fails=True)


def test_recordings_are_tidied(run):  # noqa: F811
    assert run("recordings", "tidy", "--dry-run").startswith("To delete: 0.")
    assert "one day at least" in run("recordings", "tidy", "--days", "0", fails=True)


def test_who_is_to_leave_is_asked_about_once_and_a_script_says_yes_beforehand(run, tmp_path):  # noqa: F811
    with Logbook.open(tmp_path / "home" / "logbook.db", "Europe/London") as logbook:
        for name, role in (
            ("Mona", Role.SUPERVISOR),
            ("Kim", Role.CARETAKER),
            ("Sam", Role.CARETAKER),
        ):
            logbook.add_person(name, role, NOON)
    assert "Nobody answered, so nothing was done. In a script, add --yes." in run(
        "people", "remove", "Kim", fails=True
    )
    assert run("people", "remove", "Kim", typed="n\n").endswith("Kim stays.\n")
    assert "left" not in run("people", "list")
    asked = run("people", "remove", "Kim", typed="y\n")
    assert asked.startswith("Kim, caretaker, would lose access. Sure?") and "Kim left." in asked
    assert run("people", "remove", "Sam", "--yes").startswith("Sam left.")
    assert "left already" in run("people", "remove", "Sam", fails=True)
