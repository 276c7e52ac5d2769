"""What is measured, spoken by a synthesiser and heard by the real engines: three places of a gap,
the closing time.
"""

from __future__ import annotations

import io
import wave
from datetime import UTC, datetime

import numpy as np
import pytest

from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import start_check, take_turn
from doorround.domain.check import Check
from doorround.domain.door import Door
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Sound
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.wiring import EngineLoader, load_understanding

RATE = 24_000
SEED = 1
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
PADDED_S = 0.9
"""The synthesiser leaves up to this much silence around two phrases together."""

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def ear():
    return EngineLoader(read_settings({"DOORROUND_HOME": "unused"}))()


@pytest.fixture(scope="module")
def voice():
    hibari = pytest.importorskip("hibari").Hibari()
    return lambda words: np.asarray(hibari(words, speed=1.0, seed=SEED), dtype=np.float32)


def recording(voice, *parts: str | float) -> Sound:
    """Phrases, and seconds of a quiet room between them."""
    room = np.random.default_rng(SEED)
    made = [
        room.standard_normal(round(each * RATE)) * 2e-4 if isinstance(each, float) else voice(each)
        for each in (0.3, *parts, 0.3)
    ]
    samples = np.clip(np.concatenate(made), -1, 1)
    written = io.BytesIO()
    with wave.open(written, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((samples * 32767).astype("<i2").tobytes())
    return load_sound(written.getvalue())


def at(key: str) -> Check:
    """A check of a door that stands at this question."""
    door = Door(number="12", leaves="one", closer="overhead")  # type: ignore[arg-type]
    check = start_check("c1", door, "Robin", load_checklist(), NOON).check
    return check.model_copy(update={"open": key})


def after(ear, check: Check, sound: Sound) -> Check:
    return take_turn(
        check, recognise_turn(ear, load_understanding(), sound, expected_input(check)), NOON
    ).check


@pytest.mark.parametrize(
    "parts",
    [("three, three and a half, four",), ("three", 0.8, "three and a half", 0.8, "four")],
    ids=["in one breath", "with pauses"],
)
def test_three_places_of_the_head_are_heard(ear, voice, parts):
    value = after(ear, at("gaps.sides"), recording(voice, *parts)).answers["gaps.sides"].value
    assert [(each.edge, each.place, float(each.amount)) for each in value.spots] == [
        ("head", "hinge", 3.0),
        ("head", "middle", 3.5),
        ("head", "lock", 4.0),
    ]


def test_the_closing_time_is_that_between_the_words(ear, voice):
    check = after(ear, at("closer.full"), recording(voice, "letting go", 6.0, "shut"))
    assert 6.0 <= float(check.answers["closer.seconds"].value.amount) <= 6.0 + PADDED_S
    assert "closer.full" not in check.answers


def test_a_door_that_nobody_says_is_shut_has_no_closing_time(ear, voice):
    check = after(ear, at("closer.full"), recording(voice, "letting go", 6.0))
    assert "closer.seconds" not in check.answers and check.let_go == NOON
