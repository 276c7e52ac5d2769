"""How fast messages may go out, and how long to wait after failures; times in seconds."""

import random

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.telegram.transport.rate_limit import Limits, RateLimit

GROUP = "telegram/-100"
CHAT = "telegram/7"
OTHER = "telegram/8"


def test_a_group_gets_twenty_a_minute_and_not_one_more():
    pace = RateLimit(Limits(between=1.0, group=20))
    now = 0.0
    times = []
    for _ in range(41):
        now += pace.wait(GROUP, now)
        assert pace.wait(GROUP, now) == 0
        pace.went(GROUP, now)
        times.append(now)
    assert times[19] < 60 <= times[20]
    assert all(later - earlier >= 60 for earlier, later in zip(times, times[20:], strict=False))


def test_a_private_chat_gets_a_few_at_once_then_one_a_second():
    pace = RateLimit(Limits(between=1.0, burst=3))
    for _ in range(3):
        assert pace.wait(CHAT, 10.0) == 0
        pace.went(CHAT, 10.0)
    assert pace.wait(CHAT, 10.0) == 1.0
    assert pace.wait(CHAT, 11.0) == 0


def test_all_chats_together_get_thirty_a_second():
    pace = RateLimit(Limits(overall=30))
    for chat in range(1, 31):
        assert pace.wait(f"telegram/{chat}", 5.0) == 0
        pace.went(f"telegram/{chat}", 5.0)
    assert pace.wait("telegram/31", 5.25) == 0.75
    assert pace.wait(31, 6.0) == 0


def test_one_chat_that_is_held_holds_no_other():
    pace = RateLimit()
    pace.hold(CHAT, 30.0, 100.0)
    assert pace.wait(CHAT, 110.0) == 20.0
    assert pace.wait(OTHER, 110.0) == 0
    assert pace.wait(CHAT, 130.0) == 0


def test_a_shorter_hold_does_not_end_a_longer_one():
    pace = RateLimit()
    pace.hold(CHAT, 30.0, 100.0)
    pace.hold(CHAT, 1.0, 101.0)
    assert pace.wait(CHAT, 110.0) == 20.0


def test_a_quiet_chat_is_forgotten_and_a_held_one_is_not():
    pace = RateLimit()
    pace.went(CHAT, 0.0)
    pace.hold(OTHER, 500.0, 0.0)
    pace.forget(100.0)
    assert set(pace._chats) == {OTHER}


def test_each_failure_in_a_row_waits_longer_up_to_the_most():
    backoff = Backoff(1.0, 60.0, random.Random(3))
    waits = [backoff.next() for _ in range(40)]
    wholes = [min(60.0, 2.0**count) for count in range(40)]
    assert all(whole / 2 <= wait <= whole for wait, whole in zip(waits, wholes, strict=True))
    assert backoff.failures == 40


def test_after_a_success_the_wait_is_short_again():
    backoff = Backoff(1.0, 60.0, random.Random(3))
    for _ in range(6):
        backoff.next()
    backoff.reset()
    assert backoff.next() <= 1.0


def test_two_bots_that_lost_the_same_server_do_not_come_back_together():
    first = Backoff(chance=random.Random(1))
    second = Backoff(chance=random.Random(2))
    assert [first.next() for _ in range(5)] != [second.next() for _ in range(5)]
