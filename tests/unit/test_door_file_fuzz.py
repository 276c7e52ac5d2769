"""No file of a door ends in anything but a judgement or a line that names what is wrong in it."""

from __future__ import annotations

import contextlib
import json
import os
from datetime import date, time

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from visits import CHECKLIST

from doorround.cli.door_file import DoorFile, read_door_file
from doorround.cli.judged_file import judgement_json
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import judge_door
from doorround.domain.judging.optional_questions import EXTRAS
from doorround.domain.judging.results import Result
from doorround.domain.judging.rule_sets import SETS


def read(text: str) -> DoorFile:
    return read_door_file(
        text, "door.toml", lambda rules, _site: CHECKLIST.under(SETS[rules]) if rules else CHECKLIST
    )


KEYS = st.sampled_from(
    [*(each.key for each in CHECKLIST.question), *EXTRAS, "door", "rules", "answers", "x"]
)
WORDS = st.sampled_from(
    ["3 mm", "1/0 in", "1/8 in", "sound", "not checked", "painted", "unknown", "FD30S", "\x1b[2J"]
)
SCALARS = st.one_of(
    WORDS,
    st.text(max_size=12),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.times(),
    st.sampled_from([-3, 0, 10**30, float("nan"), float("inf")]),
)
DEFECTS = st.dictionaries(
    st.sampled_from(["name", "count", "where", "made_good", "nam"]), SCALARS, max_size=3
)
VALUES = st.one_of(SCALARS, st.lists(SCALARS | DEFECTS, max_size=3), DEFECTS)
FIELDS = st.dictionaries(st.sampled_from([*Door.model_fields, "colour"]), SCALARS, max_size=4)
LIKELY = {
    "measure": ["3", 1.5, "1/8 in", "not measured"],
    "count": [3, 0],
    "yes_no": [True, False],
    "choice": ["unknown", "none"],
    "condition": ["sound", "damaged", "missing", "not checked: far"],
}
PAIRS = [
    (key, said)
    for key in (each.key for each in CHECKLIST.question)
    for said in LIKELY[CHECKLIST.ask(key).kind]
]
LIKELY_FILES = st.fixed_dictionaries(
    {
        "door": st.dictionaries(
            st.sampled_from(["hinges", "closer_size"]), st.integers(1, 9), max_size=2
        )
    },
    optional={
        "rules": st.sampled_from([*SETS]),
        "answers": st.lists(st.sampled_from(PAIRS), max_size=4).map(dict),
    },
)
FILES = LIKELY_FILES | st.fixed_dictionaries(
    {},
    optional={
        "rules": st.sampled_from([*SETS, "uk"]) | VALUES,
        "door": FIELDS | VALUES,
        "answers": st.dictionaries(KEYS, VALUES, max_size=5) | VALUES,
        "more": VALUES,
    },
)


def toml_value(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case dict():
            return (
                "{"
                + ", ".join(
                    f"{json.dumps(key)} = {toml_value(each)}" for key, each in value.items()
                )
                + "}"
            )
        case list():
            return "[" + ", ".join(map(toml_value, value)) + "]"
        case str():
            return json.dumps(value)
        case date() | time():
            return value.isoformat()
    return repr(value)


MANY = int(os.environ.get("DOORROUND_FUZZ", "400"))
"""Files made up in a run of the tests; docs/judging.md says how to try more."""


@settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
@given(FILES)
def test_no_file_ends_in_anything_but_a_judgement_or_a_line_that_names_it(
    given_file: dict[str, object],
) -> None:
    text = "\n".join(f"{key} = {toml_value(value)}" for key, value in given_file.items())
    try:
        file = read(text)
    except ValueError as error:
        assert str(error).startswith("door.toml"), error
        return
    whole = judge_door(file.door, file.answers, file.asked)
    json.dumps(judgement_json(file.door, whole, file.asked))
    if whole.result is Result.FIT:
        assert whole.faults == 0 and not whole.not_checked


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text())
def test_no_text_ends_in_anything_but_a_line_that_names_the_file(text: str) -> None:
    with contextlib.suppress(ValueError):
        read(text)
