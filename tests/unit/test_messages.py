"""What the bot says stands in one place, and the page of all of it is current."""

import ast
import re
from pathlib import Path

import pytest

from scripts.print_messages import PAGE, modules, page, texts

PACKAGE = Path(__file__).parents[2] / "bot" / "doorround"


def test_the_page_of_all_messages_is_current():
    assert PAGE.read_text(encoding="utf-8") == page(), (
        "run: python -m scripts.print_messages --write"
    )


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.rpartition(".")[2])
def test_each_message_has_a_wording(module):
    assert module.__doc__
    found = list(texts(module))
    assert found
    for name, _, said in found:
        assert all(each.strip() for each in said), name
        assert all("{" not in each and "None" not in each for each in said), name


SPEAKING = ("dialogue", "channels", "reminders", "reports")
"""Layers that say something to people, and hold no sentence themselves."""

TWO_WORDS = re.compile(r"[A-Za-z’'”][:,;.?]? [“]?[A-Za-z]|\}[:,;.?!] [“]?[A-Za-z]")

NO_MESSAGES = {
    "dialogue/register_change.py": "what people call the fields of a door",
    "channels/replay": "a script's lines and its errors, for who writes one",
    "channels/terminal": "the help and the errors of a command",
    "channels/talk/evidence.py": "the errors of a command",
}


NOT_SAID = frozenset(
    """
    what came of an update, for the logbook:
    a check is open
    changed, refused
    changed, the same
    each process that drew it ended or hung
    each process that heard it ended or hung
    from somebody unknown
    given up: {}
    in a group
    it failed {} times
    its file was not given
    let in
    not read aloud
    not used: {}
    set aside: {}
    shut out
    stale tap
    the program ended at it twice
    the talk has moved on
    what is wrong with an update or the network, for the program's own log:
    a kind of update that is not used
    a message that no person wrote
    a move that is not of a group
    a tap on no message of ours
    another program polls with this bot's token: stop it
    malformed: nested too deeply
    malformed: {}: {}
    not modified
    the whole
    Telegram cannot be reached: {}
    Telegram refuses the token: {}
    the webhook could not be removed: {}
    what people say and type, and how floors are called:
    lower ground
    upper ground
    i agree
    i do not agree
    i don't agree
    letting go, shut
    own words
    second understanding
    ROLE NAME
    ROLE SITE
    keys, of a message and of a picture's figures:
    {}/in line
    act now
    due today
    in time
    """.replace("\n    ", "\n").splitlines()
)
"""Strings of two words and more that nobody is told in a talk."""


TOLD_ERRORS = ("BadAudio", "BadPicture")
"""Errors whose words are told in the talk."""


def tells(node: ast.Raise | ast.Assert) -> bool:
    """Whether what is raised there is told in the talk."""
    return isinstance(node, ast.Raise) and ast.unparse(node).startswith(
        tuple(f"raise {name}" for name in TOLD_ERRORS)
    )


def literals(tree: ast.AST):
    """Line and text of every string that may be said: not of a docstring, a log line, an error
    that is raised (but for those whose words are told) or a pattern.
    """
    out = set[int]()
    for node in ast.walk(tree):
        names = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
        logged = names.startswith(("log.", "re.", "logging."))
        if (isinstance(node, ast.Raise | ast.Assert) and not tells(node)) or logged:
            out |= {id(each) for each in ast.walk(node)}
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            out.add(id(node.value))
        if isinstance(node, ast.JoinedStr) and id(node) not in out:
            text = "".join(
                each.value if isinstance(each, ast.Constant) else "{}" for each in node.values
            )
            out |= {id(each) for each in node.values}
            yield node.lineno, text
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in out:
            yield node.lineno, node.value


def spoken(source: str) -> list[tuple[int, str]]:
    """Strings of a module with two words or more, but for drawings in SVG."""
    found = literals(ast.parse(source))
    return [(at, text) for at, text in found if TWO_WORDS.search(text) and text[0] != "<"]


@pytest.mark.parametrize("layer", SPEAKING)
def test_no_sentence_stands_outside_messages(layer):
    for path in sorted((PACKAGE / layer).rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if not name.startswith(tuple(NO_MESSAGES)):
            found = [
                f"{name}:{at}: {text}"
                for at, text in spoken(path.read_text(encoding="utf-8"))
                if text not in NOT_SAID
            ]
            assert not found, "\n".join(found)


SILENT = ("domain", "hearing", "understanding", "speaking", "logbook")
"""Layers that say nothing: they hold terms, keys and SQL, but no whole sentence."""

SENTENCE = re.compile(r"(?:^|[.?!] )[A-Z“{][^.?!]* [^.?!]*[\w”}][.?!](?: |$)")

NO_SENTENCES = {
    "domain/judging/": "words of the rules, printed by `doorround rules list`",
    "domain/unnamed_faults.py": "words of a rule",
    "domain/inspection_interval.py": "what a command prints",
    "domain/toml_text.py": "errors of a file",
    "domain/validation_errors.py": "errors of a file",
    "hearing/adaptation/": "what commands print",
    "hearing/decision/engine_choice.py": "what `doorround doctor` prints",
    "hearing/audio/vad.py": "what to install",
    "hearing/engines/sphinx_tuning.py": "what an own word lacks, for a command",
    "logbook/noted_line.py": "what `doorround logbook verify` prints",
    "logbook/file_checks.py": "what `doorround logbook verify` prints",
    "logbook/fault_report.py": "what `doorround logbook verify` prints",
    "logbook/door_text.py": "an entry as `doorround logbook` lists it",
    "logbook/site_text.py": "an entry as `doorround logbook` lists it",
    "hearing/model_files/": "what to install",
}


def sentences(source: str) -> list[tuple[int, str]]:
    """Strings of a module that are or hold a whole sentence."""
    return [(at, text) for at, text in literals(ast.parse(source)) if SENTENCE.search(text)]


@pytest.mark.parametrize("layer", SILENT)
def test_no_whole_sentence_stands_in_a_layer_that_says_nothing(layer):
    for path in sorted((PACKAGE / layer).rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if not name.startswith(tuple(NO_SENTENCES)):
            found = [
                f"{name}:{at}: {text}" for at, text in sentences(path.read_text(encoding="utf-8"))
            ]
            assert not found, "\n".join(found)


def test_a_sentence_in_a_layer_that_says_nothing_is_found():
    assert sentences('SLOWED = "Too many codes. Wait a while."')
    assert sentences('def closed(self):\n    return "That invite has run out."')
    assert sentences('raise BadAudio("empty", f"{name} is empty. Record it again.")')
    assert sentences('raise ValueError("Nobody is told this.")') == []
    assert sentences('SQL = "SELECT door FROM doors"\nWORD = "act now"') == []


def test_a_sentence_among_the_moves_is_found():
    """Else the test above would hold of anything."""
    assert spoken(
        'def move(name):\n    """Not this one."""\n    say(f"{name} is signed. Go on.")'
    ) == [(3, "{} is signed. Go on.")]
    assert spoken('log.warning("not this one")\nraise ValueError("nor this")') == []
