"""Weights that nobody vouched for are never loaded."""

import hashlib

import pytest

from bot.hearing.models import find_vosk_model, get_vosk_model, installed_engines
from bot.hearing.recogniser import EngineUnavailable
from bot.hearing.weights import HASH_FILE, PINNED, check_weights, find_weights

FAKE = b"not a model"
DIGEST = hashlib.sha256(FAKE).hexdigest()


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "whisper-own"
    place.mkdir()
    (place / "model.bin").write_bytes(FAKE)
    for name in ("config.json", "tokenizer.json"):
        (place / name).write_text("{}")
    return place


def test_the_weights_in_the_package_are_the_pinned_ones(tmp_path):
    package = find_weights(tmp_path)
    assert package is not None
    assert check_weights(package) == PINNED


def test_a_folder_of_ones_own_comes_first(folder):
    assert find_weights(folder.parent) == folder


def test_unknown_weights_are_refused_with_their_hash(folder):
    with pytest.raises(EngineUnavailable, match=DIGEST):
        check_weights(folder)


def test_weights_that_were_vouched_for_are_taken(folder):
    (folder / HASH_FILE).write_text(f"{DIGEST}  model.bin\n")
    assert check_weights(folder) == DIGEST


def test_weights_that_changed_since_are_refused(folder):
    (folder / HASH_FILE).write_text("0" * 64)
    with pytest.raises(EngineUnavailable, match="not the file"):
        check_weights(folder)


def test_the_engines_that_are_here_are_listed(tmp_path):
    assert [(engine.name, engine.ready) for engine in installed_engines(tmp_path)] == [
        ("vosk", False),
        ("pocketsphinx", True),
        ("listener", True),
        ("moonshine", True),
    ]


def test_only_an_english_vosk_model_counts(tmp_path):
    for name in ("vosk-model-small-ko-0.22", "vosk-model-small-en-us-0.15", "notes"):
        (tmp_path / name / "am").mkdir(parents=True)
        (tmp_path / name / "conf").mkdir()
    for name in ("vosk-model-small-ko-0.22", "vosk-model-small-en-us-0.15"):
        (tmp_path / name / "am" / "final.mdl").write_bytes(b"")
    assert find_vosk_model(tmp_path) == tmp_path / "vosk-model-small-en-us-0.15"
    assert get_vosk_model("vosk-model-small-en-us-0.15", tmp_path) == tmp_path / "vosk-model-small-en-us-0.15"
