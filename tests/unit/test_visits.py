"""The visits of the tests: one that goes a way that was gone before stands where one that walks it
stands.
"""

from __future__ import annotations

import visits
from visits import CORRIDOR, PASSES, Visit


def walked(key: str) -> Visit:
    visit = Visit()
    while visit.check.open != key:
        visit.type(PASSES[str(visit.check.open)])
    return visit


def test_the_way_gone_before_leads_to_the_same_check_words_and_entries() -> None:
    first, again = Visit().go_to("seals"), Visit().go_to("seals")
    for visit in (first, again):
        by_foot = walked("seals")
        assert visit.check == by_foot.check
        assert (visit.said, visit.entered) == (by_foot.said, by_foot.entered)
    assert again.turn is first.turn


def test_a_visit_that_left_the_way_walks_by_itself() -> None:
    usual = Visit().go_to("seals")
    visit = Visit().go_to("leaf.here")
    visit.type("a hole")
    visit.type("yes")
    visit.go_to("seals")
    assert visit.meaning("leaf.here") != usual.meaning("leaf.here") == "sound"


def test_another_door_checklist_or_wording_goes_a_way_of_its_own() -> None:
    usual = Visit().go_to("clear")
    terse = Visit(terse=True).go_to("clear")
    flats = Visit(CORRIDOR, checklist=visits.FLATS).go_to("clear")
    assert usual.turn is not terse.turn and usual.said != terse.said
    assert flats.check.checklist.rules.key != usual.check.checklist.rules.key
