"""Roles, invites, strangers and links as rules: no logbook, no clock."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorround.domain.door import Door
from doorround.domain.invites import (
    SIGNS,
    Invite,
    InviteEnd,
    as_code,
    hash_of,
    invite_of,
    new_code,
)
from doorround.domain.links import (
    DoorLink,
    InviteLink,
    LinkKey,
    LinkProblem,
    NoLink,
    door_of,
    door_payload,
    invite_payload,
    read_payload,
    start_link,
)
from doorround.domain.people import (
    MAY,
    Person,
    Right,
    Role,
    counts_in_group,
    free_name,
    plain_name,
    role_named,
)
from doorround.domain.stranger_limits import (
    FREE_TRIES,
    StrangerAttempts,
    may_try,
    polite_line_due,
    wrong_code,
)
from doorround.messages.finding_door import leads_nowhere
from doorround.messages.people import POLITE, consent

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
KEY = LinkKey("a", bytes(range(32)))


def person(role: str = "caretaker", sites: tuple[str, ...] = (), gone: bool = False) -> Person:
    return Person("Robin", role, NOON, sites, gone)


# ---- roles


def test_a_caretaker_checks_doors_and_changes_no_people():
    assert person().may(Right.CHECK)
    assert not any(
        person().may(right)
        for right in (Right.INVITE, Right.CHANGE_PEOPLE, Right.BIND_GROUP, Right.READ)
    )


def test_an_auditor_only_reads():
    assert {right for right in Right if person("auditor").may(right)} == {Right.OWN, Right.READ}


def test_a_supervisor_may_do_everything():
    assert all(person("supervisor").may(right) for right in Right)


def test_every_role_has_its_rights():
    assert set(MAY) == set(Role)


@pytest.mark.parametrize("nobody", [person("supervisor", gone=True), person("janitor")])
def test_who_left_or_has_no_known_role_may_do_nothing(nobody):
    assert not any(nobody.may(right) for right in Right)


def test_a_site_narrows_what_may_be_checked():
    here = Door(number="12", site="Mill House")
    assert person(sites=("Mill House",)).may_check(here)
    assert person().may_check(here)
    assert not person(sites=("Barn",)).may_check(here)
    assert not person("auditor").may_check(here)


def test_in_a_group_only_the_sites_supervisors_count():
    assert counts_in_group(person("supervisor", ("Mill House",)), "Mill House")
    assert not counts_in_group(person("supervisor", ("Barn",)), "Mill House")
    assert not counts_in_group(person("caretaker"), "Mill House")
    assert not counts_in_group(person("supervisor"), None)
    assert not counts_in_group(None, "Mill House")


def test_an_unknown_role_is_refused_with_those_there_are():
    assert role_named(" Auditor ") is Role.AUDITOR
    with pytest.raises(ValueError, match="Use one of: caretaker, supervisor, auditor"):
        role_named("boss")


@pytest.mark.parametrize(
    ("shown", "name"),
    [
        ("  Robin \n Reed ", "Robin Reed"),
        ("\u202eRobin\u200b", "Robin"),
        ("\x1b[31m", "[31m"),
        ("\n", "somebody"),
    ],
)
def test_a_name_is_one_visible_line(shown, name):
    assert plain_name(shown) == name


def test_a_second_robin_is_told_from_the_first():
    assert free_name("Robin", frozenset()) == "Robin"
    assert free_name("robin", frozenset({"Robin", "robin (2)"})) == "robin (3)"


# ---- invites


def an_invite(code: str, **more: object) -> Invite:
    return Invite(hash_of(code)[:8], hash_of(code), "caretaker", (), None, "Mona", NOON, **more)  # type: ignore[arg-type]


@given(
    st.binary(min_size=16, max_size=16),
    st.sampled_from([str.upper, str.lower]),
    st.sampled_from(["", " ", "-", "  "]),
)
def test_a_code_is_read_however_it_is_typed(chance, case, between):
    code = new_code(chance)
    assert as_code(case(code).replace("-", between)) == code
    assert read_payload(invite_payload(code)) == InviteLink(code)


def test_codes_differ_with_chance_and_use_plain_signs_only():
    codes = {new_code(bytes([nth]) * 16) for nth in range(256)}
    assert len(codes) == 256
    assert all(set(code) <= set(SIGNS) | {"-"} for code in codes)
    with pytest.raises(ValueError, match="16 random bytes"):
        new_code(b"short")


@pytest.mark.parametrize(
    "text",
    ["", "hello", "kx7m-2p4d-9wrt-h3c", "kx7m-2p4d-9wrt-h3c0", "kx7m-2p4d-9wrt-h3cnn", "é" * 16],
)
def test_other_words_are_no_code(text):
    assert as_code(text) is None


def test_the_hash_does_not_hold_the_code_and_finds_its_invite_alone():
    first = new_code(b"1" * 16)
    second = new_code(b"2" * 16)
    assert first not in hash_of(first) and len(hash_of(first)) == 64
    assert invite_of(second, [an_invite(first), an_invite(second)]) == an_invite(second)
    assert invite_of(new_code(b"3" * 16), [an_invite(first), an_invite(second)]) is None


def test_an_invite_is_closed_once_used_taken_back_or_run_out():
    code = new_code(b"1" * 16)
    before = NOON - timedelta(seconds=1)
    assert an_invite(code).closed(before) is None
    assert an_invite(code).closed(NOON) is InviteEnd.RUN_OUT
    assert an_invite(code, spent_by="Sam").closed(before) is InviteEnd.USED
    assert an_invite(code, withdrawn=True).closed(before) is InviteEnd.TAKEN_BACK


def test_the_consent_line_says_what_is_stored_and_for_how_long():
    line = consent("caretaker", 90)
    for words in (
        "your name",
        "account's number",
        "answers",
        "kept for good",
        "voice notes",
        "90 days",
        "30 days",
        "photos",
        "/mydata",
    ):
        assert words in line
    assert len(line) < 1024


# ---- strangers


def test_a_stranger_gets_one_polite_line_an_hour():
    attempts, polite = polite_line_due(StrangerAttempts(), NOON)
    assert polite and "\n" not in POLITE
    for minute in (0, 1, 59):
        attempts, polite = polite_line_due(attempts, NOON + timedelta(minutes=minute))
        assert not polite
    assert polite_line_due(attempts, NOON + timedelta(hours=1))[1]


def test_after_five_wrong_codes_each_next_one_waits_longer():
    attempts = StrangerAttempts()
    for nth in range(1, FREE_TRIES + 1):
        assert may_try(attempts, NOON)
        attempts, slowed = wrong_code(attempts, NOON)
        assert slowed is (nth >= FREE_TRIES)
    waits = []
    now = NOON
    for _ in range(9):
        waits.append(next(m for m in range(100) if may_try(attempts, now + timedelta(minutes=m))))
        now += timedelta(minutes=waits[-1])
        attempts, _ = wrong_code(attempts, now)
    assert waits == [1, 2, 4, 8, 16, 32, 60, 60, 60]


def test_a_day_later_the_wrong_codes_are_forgotten():
    attempts = StrangerAttempts(tries=50, tried=NOON)
    assert not may_try(attempts, NOON + timedelta(minutes=59))
    assert wrong_code(attempts, NOON + timedelta(days=1))[0].tries == 1


# ---- links

words = st.text(max_size=80)
doors = st.builds(
    lambda n, s, b: Door(number=n, site=s, building=b),
    st.text(min_size=1, max_size=20),
    words,
    words,
)


@given(doors, st.binary(min_size=32, max_size=32))
def test_a_door_link_finds_its_door_and_no_other(door, secret):
    key = LinkKey("q", secret)
    payload = door_payload(door, key)
    assert re.fullmatch(r"[A-Za-z0-9_-]{23}", payload)
    link = read_payload(payload)
    assert isinstance(link, DoorLink)
    other = door.model_copy(update={"number": door.number + "x"})
    assert door_of(link, [other, door], [key]) == door
    assert door_of(link, [other], [key]) is LinkProblem.NO_SUCH_DOOR


@given(st.integers(0, 22), st.sampled_from("ABCxyz019_-"))
def test_a_payload_changed_anywhere_opens_no_door(place, sign):
    door = Door(number="12", site="Mill House")
    payload = door_payload(door, KEY)
    changed = payload[:place] + sign + payload[place + 1 :]
    link = read_payload(changed)
    if changed != payload and isinstance(link, DoorLink):
        assert isinstance(door_of(link, [door], [KEY, LinkKey("b", b"b" * 32)]), LinkProblem)


@given(st.text(max_size=80))
def test_any_text_at_all_is_read_as_something(text):
    assert isinstance(read_payload(text), DoorLink | InviteLink | NoLink)


def test_the_longest_door_fits_and_shows_nothing_of_its_number():
    door = Door(number="N" * 20, site="S" * 80, building="B" * 80)
    assert len(door_payload(door, KEY)) == 23
    assert "NNN" not in door_payload(door, KEY)


def test_doors_of_the_same_number_elsewhere_have_other_links():
    named = [("1", "A", ""), ("1", "", "A"), ("1A", "", ""), ("1", "B", "")]
    assert len({door_payload(Door(number=n, site=s, building=b), KEY) for n, s, b in named}) == 4


def test_labels_of_the_key_before_go_on_until_it_is_ended():
    door = Door(number="12")
    old = LinkKey("a", b"a" * 32)
    new = LinkKey("b", b"b" * 32)
    link = read_payload(door_payload(door, old))
    assert isinstance(link, DoorLink)
    assert door_of(link, [door], [new, old]) == door
    ended = LinkKey("a", b"a" * 32, ended=True)
    assert door_of(link, [door], [new, ended]) is LinkProblem.OLD_LABEL
    assert door_of(link, [door], [new]) is LinkProblem.NOT_OUR_LABEL
    assert "ask for a new label" in leads_nowhere(LinkProblem.OLD_LABEL)


def test_a_later_version_says_so():
    assert read_payload("d2abc") == NoLink(LinkProblem.LATER_VERSION)
    assert read_payload("hello") == NoLink(LinkProblem.NOT_OUR_LINK)


def test_the_link_opens_the_bot():
    assert start_link("@some_bot", "d1x") == "https://t.me/some_bot?start=d1x"
