"""Most of a year of a small estate, with both clock changes: no due door unmentioned, none
mentioned twice, no defect lost, no message at night. The same with 400 doors: make year.
"""

from tests.benchmarks.year import Year


def test_every_day_of_a_small_estate_goes_as_it_must(tmp_path):
    figures = Year(tmp_path, doors=16, days=222, seed=1).run()
    # the year was a year: every kind of thing happened
    for name in (
        "checks",
        "refused",
        "defects",
        "reopened",
        "made good",
        "days looked at",
        "days with a snooze",
    ):
        assert figures[name] > 1, name
    for step in ("first", "second", "supervisor"):
        assert figures[f"door, {step}"] > 0, step
