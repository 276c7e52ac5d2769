"""Slow test modules, slowest first: they start first, so that no worker is left with one at the
end, and `make test-quick` leaves out those in tests/unit.
"""

from __future__ import annotations

LONG = (
    "audio/test_human_speech.py",
    "audio/test_worker_pool.py",
    "talks/test_demo_conversations.py",
    "audio/test_asked_voices.py",
    "audio/test_more_said.py",
    "audio/test_own_words_heard.py",
    "audio/test_calibrate.py",
    "telegram/test_stopping.py",
    "contract/test_recognisers.py",
    "audio/test_door_voices.py",
    "telegram/test_killed.py",
    "talks/test_commands.py",
    "audio/test_voices.py",
    "talks/test_hear_command.py",
    "audio/test_negations.py",
    "audio/test_answers.py",
    "talks/test_wheel.py",
    "audio/test_works_heard.py",
    "audio/test_no_answers.py",
    "audio/test_measuring.py",
    "audio/test_long_note.py",
    "audio/test_second_listener.py",
)
"""Outside tests/unit, the longest first."""

LONG_UNITS = (
    "unit/test_confusable_pairs.py",
    "unit/test_program.py",
    "unit/test_slips.py",
    "unit/test_understanding.py",
    "unit/test_talk_ledger.py",
    "unit/test_chat_ledger.py",
    "unit/test_six_weeks.py",
    "unit/test_buttons.py",
    "unit/test_negation.py",
    "unit/test_plausible_rounds.py",
    "unit/test_own_words.py",
    "unit/test_listing.py",
    "unit/test_unconfirmed_faults_drawn.py",
    "unit/test_as_of.py",
    "unit/test_dates_given.py",
    "unit/test_denials.py",
    "unit/test_labels.py",
    "unit/test_dialogue_laws.py",
    "unit/test_schedule_fuzz.py",
    "unit/test_grammar_files.py",
    "unit/test_old_logbooks.py",
    "unit/test_sample_estate.py",
    "unit/test_six_weeks_nudges.py",
    "unit/test_question_grammar.py",
    "unit/test_doors_command.py",
    "unit/test_soundalikes.py",
    "unit/test_own_words_tables.py",
    "unit/test_extras.py",
    "unit/test_year.py",
)
"""In tests/unit, the longest first: more than 5 s each; before them the one that takes most memory,
while the engines of the other worker take little.
"""

_RANKS = {name: rank for rank, name in enumerate((*LONG, *LONG_UNITS))}


def rank(nodeid: str) -> int:
    """Order of a test, by its module."""
    return _RANKS.get(nodeid.partition("::")[0].removeprefix("tests/"), len(_RANKS))


def is_long_unit(nodeid: str) -> bool:
    """Whether `make test-quick` leaves it out."""
    return nodeid.partition("::")[0].removeprefix("tests/") in LONG_UNITS
