"""An organisation's own rules: a set for each site, stricter limits, and nothing loosened without
its being told.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from judged_doors import faults, judged, mm
from visits import CHECKLIST, CORRIDOR, Visit, door

from doorround.domain.checklist import Checklist
from doorround.domain.judging.custom_rules import CustomRules, read_custom_rules, with_custom_rules
from doorround.domain.judging.door_verdict import Result
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import Measure, Unit


def ours(text: str) -> Checklist:
    return with_custom_rules(CHECKLIST, read_custom_rules(text, "rules.toml"))


def test_without_a_file_every_site_has_the_rules_of_uk_premises() -> None:
    assert read_custom_rules("", "rules.toml") == CustomRules()
    assert ours("").at_site("Anywhere").rules.key == "uk-premises"
    assert (ours("").rules.loosened, ours("").rules.own) == ((), "")


def test_a_site_follows_the_set_chosen_for_it() -> None:
    chosen = ours('rules = "nfpa-80"\n[site]\n"Lantern House" = "england-flats"\n')
    assert chosen.at_site("Lantern House").rules.key == "england-flats"
    assert chosen.at_site("Mill House").rules.key == chosen.at_site("").rules.key == "nfpa-80"
    assert chosen.at_site("Mill House").ask("gaps.sides").unit == "in"


def test_a_check_begins_under_the_rules_of_its_doors_site_and_keeps_them() -> None:
    chosen = ours('[site]\n"Lantern House" = "nfpa-80"\n')
    visit = Visit(door(site="Lantern House"), checklist=chosen)
    assert visit.check.checklist.rules.key == "nfpa-80" and visit.check.checklist.by_site == {}
    again = Checklist.model_validate_json(visit.check.checklist.model_dump_json())
    assert again == visit.check.checklist == again.at_site("Lantern House")
    assert (
        Visit(door(site="Mill House"), checklist=chosen).check.checklist.rules.key == "uk-premises"
    )


def test_a_limit_may_be_tightened_and_cites_the_organisation() -> None:
    strict = ours(
        '[limit]\n"gap.side.timber" = { most = 3.5, source = "our maintenance standard" }\n'
    )
    (finding,) = judged(CORRIDOR, strict, gaps__sides=mm("4")).findings
    assert (finding.what, finding.source) == ("4 mm, 3.5 mm allowed", "our maintenance standard")
    assert (strict.rules.loosened, strict.rules.own) == ((), "rules.toml")
    assert strict.rules.limits["gap.side.timber"].most == Fraction(7, 2)


def test_a_limit_in_inches_is_written_as_a_fraction() -> None:
    strict = ours('rules = "nfpa-80"\n[limit]\n"gap.side.steel" = { most = "1/8" }\n').at_site("")
    steel = door(material="steel")
    (finding,) = judged(steel, strict, gaps__sides=mm("4"), gaps__threshold=mm("3")).findings
    assert finding.what == "0.16 in, 1/8 in allowed"
    assert finding.source.startswith("rules.toml; else NFPA 80-2022, 6.3.1.7, steel")


def test_a_rule_may_be_made_graver_without_a_word() -> None:
    strict = ours('[severity]\n"seals.painted" = "act now"\n')
    assert judged(CORRIDOR, strict, seals=faults("painted")).result is Result.OUT_OF_ACTION
    assert strict.rules.loosened == ()


LOOSE = """
off = ["sign.damaged"]
[severity]
"closer.slams" = "watch"
[limit]
"gap.side.timber" = { most = "5", least = "1" }
"""
LOOSENED = (
    "gap.side.timber: most 5 mm in place of 4 mm",
    "gap.side.timber: least 1 mm in place of 2 mm",
    "closer.slams: “watch” in place of “soon”",
    "sign.damaged: not used",
)


def test_what_is_made_milder_is_told_by_every_judgement_and_by_the_rules_themselves() -> None:
    loose = ours(LOOSE)
    assert loose.rules.loosened == LOOSENED
    assert judged(CORRIDOR, loose).loosened == LOOSENED
    assert judged(CORRIDOR, loose, closer__full=faults("slams")).severity is Severity.WATCH
    assert judged(CORRIDOR, loose, gaps__sides=mm("5"), sign__here=faults("damaged")).findings == ()


def test_the_talk_shows_what_is_made_milder_and_signs_it() -> None:
    visit = Visit(CORRIDOR, checklist=ours(LOOSE)).all_well()
    assert visit.said[1].startswith(
        "Relaxed by your own rules: gap.side.timber: most 5 mm in place of 4 mm; "
    )
    visit.type("finish check")
    assert visit.entered[-1].body["judgement"]["loosened"] == list(LOOSENED)


def test_a_rule_that_goes_by_degrees_is_made_milder_by_anything_under_its_gravest() -> None:
    assert ours('[severity]\n"gaps.too_wide" = "soon"\n').rules.loosened == (
        "gaps.too_wide: “soon” in place of “act now”",
    )


def test_the_severity_that_a_rule_has_already_is_not_milder() -> None:
    assert ours('[severity]\n"seals.painted" = "soon"\n').rules.loosened == ()


def test_each_limit_that_is_made_milder_is_told() -> None:
    loose = ours(
        '[limit]\n"gap.side.timber" = { most = 5 }\n"closer.seconds" = { most = 25, least = 4 }\n'
    )
    assert loose.rules.loosened == (
        "gap.side.timber: most 5 mm in place of 4 mm",
        "closer.seconds: most 25 s in place of 20 s",
    )


@pytest.mark.parametrize("text", ['rules = "nfpa-80"', '[site]\nYard = "nfpa-80"'])
def test_the_choice_of_a_set_is_no_change_of_its_rules(text: str) -> None:
    assert (ours(text).rules.own, ours(text).at_site("Yard").rules.own) == ("", "")


def test_a_limit_of_the_meeting_edges_is_not_that_of_the_sides() -> None:
    strict = ours('[limit]\n"gap.meeting.timber" = { most = 3 }\n')
    whole = judged(door(leaves="pair"), strict, gaps__sides=mm("3.5"), gaps__meeting=mm("3.5"))
    assert [each.rule for each in whole.findings] == ["gaps.meeting_too_wide"]


def test_how_soon_a_rule_is_makes_no_fault_of_what_is_right() -> None:
    strict = ours('[severity]\n"gaps.too_wide" = "act now"\n"closer.time" = "act now"\n')
    seconds = Measure(amount=Fraction(5), unit=Unit.SECOND)
    assert (
        judged(CORRIDOR, strict, gaps__sides=mm("3"), closer__seconds=seconds).result is Result.FIT
    )
    assert judged(CORRIDOR, strict, gaps__sides=mm("4.1")).result is Result.OUT_OF_ACTION


def test_what_a_set_does_not_have_cannot_be_loosened_in_it() -> None:
    loose = ours(
        'off = ["sign.wrong"]\n[severity]\n"sign.missing" = "watch"\n[site]\nYard = "nfpa-80"\n'
    )
    assert loose.at_site("Yard").rules.loosened == ()
    assert len(loose.rules.loosened) == 2


def test_the_rules_carry_the_target_times_of_the_responsible_person() -> None:
    chosen = with_custom_rules(CHECKLIST, CustomRules(site={"Yard": "nfpa-80"}), Targets(soon=3))
    assert (
        chosen.rules.targets.days(Severity.SOON)
        == chosen.at_site("Yard").rules.targets.days(Severity.SOON)
        == 3
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("rules = nfpa", r"^rules\.toml is not TOML"),
        (
            'rules = "nfpa"',
            (
                r'^rules\.toml, as a whole: there is no rule set "nfpa"\. Use one of:'
                r" england-flats, "
            ),
        ),
        ('[site]\nYard = "nfpa"', r'there is no rule set "nfpa"'),
        (
            '[severity]\n"seals.painted" = "bad"',
            r"^rules\.toml, severity\.seals\.painted: .*soon, act now",
        ),
        (
            '[severity]\n"seals.purple" = "soon"',
            r'^rules\.toml: there is no rule "seals\.purple"\. See doorround rules',
        ),
        ('off = ["purple"]', r'there is no rule "purple"'),
        (
            '[limit]\n"gap.side" = { most = "3" }',
            r'there is no limit "gap\.side"\. Use one of: .*gap\.side\.timber',
        ),
        (
            '[limit]\n"gap.side.timber" = { source = "us" }',
            r"name at least one of most, least, watch, grave",
        ),
        ("colour = 1", r"^rules\.toml, colour: there is no such field\. Use one of: "),
    ],
)
def test_a_mistake_is_told_with_its_place(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        ours(text)


def test_what_an_organisation_can_measure_is_asked_and_makes_no_rule_milder() -> None:
    chosen = ours('gauges = ["stopwatch", "force gauge"]\n[site]\n"Barn" = "nfpa-80"\n')
    asked = {
        site: [each.key for each in chosen.at_site(site).for_door(CORRIDOR)]
        for site in ("", "Barn")
    }
    assert {"closer.seconds", "closer.force_low", "closer.force_high"} <= set(asked[""])
    assert {"closer.seconds", "closer.force_low", "closer.force_high"} <= set(asked["Barn"])
    assert (chosen.rules.loosened, chosen.rules.own) == ((), "")


def test_an_unknown_gauge_is_told_with_those_that_are_known() -> None:
    with pytest.raises(
        ValueError, match=r'there is no gauge "watch". Use one of: stopwatch, force gauge, ruler'
    ):
        ours('gauges = ["watch"]')
