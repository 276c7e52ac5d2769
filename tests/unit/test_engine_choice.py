"""Which engines hear where some of them are not installed, and that advice to install something can
be followed.
"""

import re
import tomllib
from importlib.util import find_spec
from itertools import takewhile
from pathlib import Path

import pytest

from doorround.hearing.decision import engine_choice
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.model_files import installed_models
from doorround.hearing.model_files.installed_models import get_vosk_model, installed_engines

TOP = Path(__file__).parents[2]
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def without(monkeypatch, *packages, first=True, second=True):
    """As on a machine that has no wheels of some packages, or no weights of the listeners."""
    monkeypatch.setattr(
        installed_models, "find_spec", lambda name: None if name in packages else find_spec(name)
    )
    if not first:
        monkeypatch.setattr(engine_choice, "find_weights", lambda folder: None)
        monkeypatch.setattr(installed_models, "find_weights", lambda folder: None)
    if not second:
        monkeypatch.setattr(engine_choice, "find_second", lambda: None)
        monkeypatch.setattr(installed_models, "find_second", lambda: None)


@pytest.mark.skipif(
    find_spec("moonshine_voice") is None, reason="no wheel of the second listener for this system"
)
def test_both_listeners_hear_without_the_older_engines(monkeypatch, tmp_path):
    without(monkeypatch, "pocketsphinx", "vosk")
    chosen = choose_engines(tmp_path)
    assert (
        chosen.pipeline.name == "listener+moonshine"
        and chosen.line == "Hearing with two listeners."
    )
    ready = {engine.name: engine.ready for engine in installed_engines(tmp_path)}
    assert ready == {"vosk": False, "pocketsphinx": False, "listener": True, "moonshine": True}


def test_the_first_listener_hears_alone_where_nothing_else_is(monkeypatch, tmp_path):
    without(monkeypatch, "pocketsphinx", "vosk", second=False)
    chosen = choose_engines(tmp_path)
    assert chosen.pipeline.name == "listener" and "Hearing with the listener alone." in chosen.line


@pytest.mark.skipif(
    find_spec("pocketsphinx") is None, reason="PocketSphinx has no wheel for this Python"
)
def test_pocketsphinx_hears_alone_without_weights(monkeypatch, tmp_path):
    without(monkeypatch, first=False, second=False)
    assert choose_engines(tmp_path).pipeline.name == "pocketsphinx"


def test_a_vosk_model_without_vosk_is_not_counted_on(monkeypatch, tmp_path):
    for part in ("am", "conf"):
        (tmp_path / "vosk-model-small-en-us-0.15" / part).mkdir(parents=True)
    (tmp_path / "vosk-model-small-en-us-0.15" / "am" / "final.mdl").write_bytes(b"")
    without(monkeypatch, "pocketsphinx", "vosk")
    assert "vosk" not in choose_engines(tmp_path).pipeline.name
    vosk = next(engine for engine in installed_engines(tmp_path) if engine.name == "vosk")
    assert not vosk.ready and "pip install vosk" in vosk.about
    with pytest.raises(EngineUnavailable, match="pip install vosk"):
        get_vosk_model("vosk-model-small-xx", tmp_path)


def test_where_nothing_hears_it_is_said_what_to_do(monkeypatch, tmp_path):
    without(monkeypatch, "pocketsphinx", "vosk", first=False, second=False)
    with pytest.raises(EngineUnavailable, match=r"pip install '\.\[listener\]'"):
        choose_engines(tmp_path)


def told():
    """Every place of the program and its pages that speaks of installing, with what it says to
    install.
    """
    pages = [
        *TOP.glob("*.md"),
        *TOP.glob("docs/**/*.md"),
        *TOP.glob("models/*.md"),
        *TOP.glob("deploy/*"),
    ]
    for path in [
        *pages,
        *(TOP / "bot").rglob("*.py"),
        *(TOP / "scripts").rglob("*.py"),
        TOP / "Makefile",
    ]:
        for line in path.read_text(encoding="utf-8").splitlines():
            for said in re.split(r"pip install |_AGAIN\} ", line)[1:]:
                words = list(takewhile(lambda word: word != "-r", said.split()))
                named = [word.strip("\\'\"`,;:)") for word in words if not word.startswith("-")]
                yield from (
                    (path.relative_to(TOP), word.rstrip(".\"'`") or ".") for word in named[:1]
                )


def test_no_advice_names_a_package_that_no_registry_has():
    """What is not `.` must be a package that the project itself depends on, so that the lock proves
    it is there.
    """
    wanted = [
        *PROJECT["dependencies"],
        *(each for extra in PROJECT["optional-dependencies"].values() for each in extra),
    ]
    known = {re.split(r"[^A-Za-z0-9-]", each)[0] for each in wanted} | {"espeakng-loader", "uv"}
    extras = set(PROJECT["optional-dependencies"])
    found = list(told())
    assert len(found) > 5
    for path, named in found:
        own = re.fullmatch(r"(?:\.|\S+\.whl)(?:\[([a-z,-]+)\])?", named)
        assert own or named.partition("==")[0] in known, f"{path} advises to install {named}"
        assert not own or set((own[1] or "").split(",")) <= extras | {""}, (
            f"{path} names an extra that is not: {named}"
        )
    for path in [TOP / "README.md", TOP / "models" / "README.md", *(TOP / "bot").rglob("*.py")]:
        assert "doorround[" not in path.read_text(encoding="utf-8"), (
            f"{path}: doorround is in no registry"
        )
