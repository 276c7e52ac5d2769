"""People's own voices, from the folder in DOORROUND_SPEECH: never less than what was measured and
promised.

Only the half of the speakers is heard that hearing was not fitted on. To keep the tests quick, a
part of the clips; python -m tests.benchmarks.bench_hearing hears them all.
"""

import os
from pathlib import Path

import pytest

from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, read_clips
from tests.benchmarks.bench_hearing import (
    DIGITS,
    TEN,
    ear_of,
    hearing_with,
    is_digit,
    measure_list,
)
from tests.read_once import usual_ear
from tests.whole import so_many

FOLDER = os.environ.get("DOORROUND_SPEECH")

pytestmark = [
    pytest.mark.speech,
    pytest.mark.skipif(not FOLDER, reason="DOORROUND_SPEECH names no folder of human speech"),
]


@pytest.fixture(scope="module")
def clips():
    return [clip for clip in read_clips(Path(FOLDER)) if not clip.for_tuning]


@pytest.fixture(scope="module")
def pair():
    return hearing_with(usual_ear())


@pytest.fixture(scope="module")
def sphinx():
    return ear_of("pocketsphinx")


def reached(ear, clips, phrases):
    """The figures, printed too: pytest -s -m speech shows what is reached."""
    found = measure_list(ear, clips, phrases)
    print(
        f"\n{len(phrases)} phrases:",
        ", ".join(f"{name} {value:.2f}" for name, value in found.items()),
    )
    return found


def of(clips, *words, each=1):
    return [clip for clip in clips if clip.words in words][::each]


def test_yes_and_no_with_the_listener(pair, clips):
    # every "no": one heard as "yes" would pass a door; of the rest a part
    some = [*of(clips, "no"), *of(clips, "yes", STRANGE, SILENT, each=so_many(6, 2))]
    found = reached(pair, some, ("yes", "no"))
    # one word is held to be all that was said: 4 of 209 are asked again for it, and 2 points fewer
    # are entered at once; one more, at 0.19, is asked again and not read back
    assert found["right"] >= 97.4
    assert found["no accepted as yes"] == 0
    assert found["right ones refused"] <= 7.3
    assert found["strangers accepted"] <= 0.5
    assert found["silence accepted"] <= 0.5


def test_ten_command_words_with_the_listener(pair, clips):
    found = reached(pair, of(clips, *TEN, STRANGE, each=so_many(7, 3)), TEN)
    assert found["right"] >= 94.0
    # of 73, one is 1.4; of 170, 0.6
    assert found["wrong accepted"] <= so_many(1.4, 1.0)
    assert found["strangers accepted"] <= 4.0


def test_telephone_digits_with_the_listener(pair, clips):
    digits = [clip for clip in clips if is_digit(clip)][:: so_many(5, 2)]
    assert reached(pair, digits, DIGITS)["right"] >= 93.0


def test_yes_and_no_with_pocketsphinx_alone(sphinx, clips):
    # 206 of all 209; the aim is 99. Of an eighth none may be wrong
    some = of(clips, "yes", "no", each=so_many(8, 1))
    assert reached(sphinx, some, ("yes", "no"))["right"] >= 98.5


def test_ten_words_and_digits_with_pocketsphinx_alone(sphinx, clips):
    some = of(clips, *TEN, each=so_many(12, 4))
    assert reached(sphinx, some, TEN)["right"] >= 86.0
    digits = [clip for clip in clips if is_digit(clip)][:: so_many(14, 2)]
    assert reached(sphinx, digits, DIGITS)["right"] >= 79.0
