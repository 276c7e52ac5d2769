"""An organisation's own words: what words.toml may hold, what it comes to, and what is refused,
with what to do.
"""

import pytest
from visits import BOOK, CHECKLIST

from doorround.config.resources import british, pronunciations
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.values import Condition
from doorround.hearing.adaptation.own_phrases import with_own_words
from doorround.hearing.adaptation.own_words import OwnWords, OwnWordsError, with_confirmed
from doorround.hearing.grammar.phrase_list import automaton_of
from doorround.hearing.lexicon.pronunciations import Pronunciations
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.hearing.session.question_grammar import grammar_now

KNOWN = Pronunciations.read(pronunciations(), british())


def phrase(say, means, question):
    return f'[[phrase]]\nsay = "{say}"\nmeans = "{means}"\nquestion = "{question}"\n'


def word(name, rest):
    return f'[[word]]\nword = "{name}"\n{rest}\n'


def read(text):
    return OwnWords.of_text(text, KNOWN)


def understanding(text):
    return Interpreter(with_own_words(BOOK, read(text), CHECKLIST))


def at(key):
    return ExpectedInput(
        Stage.ASKING, CHECKLIST.ask(key), tuple(q for q in CHECKLIST.question if q.key != key)
    )


def meant(found):
    best = found.guesses[0] if found.kind == "unsure" else found
    return [(said.question, said.value) for said in best.said]


SORTED = phrase("sorted", "all good", "hinges.fixings")
KAPUT = phrase("kaput", "broken", "latch")


def test_without_a_file_nothing_changes():
    assert with_own_words(BOOK, read(""), CHECKLIST) is BOOK


@pytest.mark.parametrize(
    ("text", "key", "said", "like"),
    [
        (SORTED, "hinges.fixings", "sorted", "all good"),
        (SORTED, "seals", "hinges sorted", "hinges all good"),
        (KAPUT, "latch", "it's kaput", "it's broken"),
        (
            phrase("clapped out", "two screws missing", "hinges.fixings"),
            "hinges.fixings",
            "clapped out",
            "two screws missing",
        ),
        (phrase("full set", "three", "hinges.count"), "hinges.count", "full set", "three"),
        (
            phrase("our usual", "overhead", "register.closer"),
            "register.closer",
            "our usual",
            "overhead",
        ),
    ],
)
def test_a_phrase_means_just_what_the_other_means(text, key, said, like):
    own = understanding(text)
    assert typed(Interpreter(BOOK), said, at(key)).kind == "off_grammar"
    assert meant(typed(own, said, at(key))) == meant(typed(own, like, at(key)))


def test_it_is_no_answer_to_another_question():
    assert typed(understanding(SORTED), "sorted", at("seals")).kind == "off_grammar"


def test_both_faces_of_a_part_take_it():
    own = understanding(phrase("tickety boo", "fine", "frame.here"))
    assert meant(typed(own, "other side frame tickety boo", at("seals"))) == [
        ("frame.beyond", Condition())
    ]


def test_engines_and_the_short_list_have_it_too():
    allowed = grammar_now(understanding(SORTED), at("hinges.fixings"))
    assert automaton_of(allowed).accepts(["sorted"]) and "sorted" in allowed.short
    assert allowed.key != grammar_now(Interpreter(BOOK), at("hinges.fixings")).key


def test_a_slip_in_it_is_mended_and_passes_nothing_unconfirmed():
    assert typed(understanding(SORTED), "sortd", at("hinges.fixings")).kind == "unsure"


def test_what_names_its_part_or_a_fault_is_still_found_beside_it():
    own = understanding(phrase("clapped out", "cracked glass", "glass.here"))
    assert meant(typed(own, "clapped out", at("seals"))) == meant(
        typed(own, "cracked glass", at("seals"))
    )
    assert (
        meant(typed(own, "cracked bottom left", at("glass.here")))[0][1].defects[0].where
        == "bottom left"
    )


def test_the_version_of_the_grammar_changes_with_the_file():
    versions = {with_own_words(BOOK, read(text), CHECKLIST).version for text in ("", SORTED, KAPUT)}
    assert len(versions) == 3 and all(len(version) == 16 for version in versions)


# ---- pronunciations


def hedged(text, said, key):
    return [each.hedged for each in typed(understanding(text), said, at(key)).said]


def test_a_guessed_word_is_read_back_until_somebody_confirmed_it():
    assert hedged(KAPUT, "kaput", "latch") == [True]
    assert hedged(KAPUT + word("kaput", 'sounds_like = "cup put"'), "kaput", "latch") == [True]
    assert hedged(
        KAPUT + word("kaput", 'phones = "K AH P UH T"\nconfirmed = true'), "kaput", "latch"
    ) == [False]
    assert hedged(SORTED, "sorted", "hinges.fixings") == [False]


def test_how_a_word_is_said():
    own = read(
        KAPUT
        + word("brimstead", 'sounds_like = "brim stead"')
        + word("door", 'phones = ["D UH AH"]')
    )
    assert own.spoken["kaput"][0] == ("K", "AE", "P", "UH", "T")
    assert own.spoken["brimstead"][0] == ("B", "R", "IH", "M", "S", "T", "EH", "D")
    assert own.spoken["door"] == (("D", "UH", "AH"), ("D", "AO"), ("D", "AO", "R"))
    assert own.guesses == {"kaput", "brimstead", "door"}


def test_confirming_writes_a_new_entry_or_mends_the_one_there():
    new = with_confirmed(read(KAPUT), "kaput", [("K", "AH", "P", "UH", "T")])
    assert new.startswith(KAPUT) and not read(new).guesses
    text = (
        "# ours\n"
        + word("kaput", 'sounds_like = "cup put" # so they say\nconfirmed = false')
        + "\n"
        + KAPUT
    )
    own = read(text)
    mended = with_confirmed(own, "kaput", own.ways("kaput"))
    assert "# ours" in mended and "# so they say" in mended and not read(mended).guesses
    assert [each.say for each in read(mended).phrases] == ["kaput"]


def test_confirming_another_way_to_say_a_word_replaces_the_one_there():
    own = read(KAPUT + word("kaput", 'sounds_like = "cup put"'))
    found = read(with_confirmed(own, "kaput", [("K", "AH", "P", "UH", "T")]))
    assert found.words[0].ways == (("K", "AH", "P", "UH", "T"),) and found.words[0].confirmed


# ---- what is refused


@pytest.mark.parametrize(
    ("say", "means", "question", "why"),
    [
        (
            "sorted",
            "purple",
            "seals",
            'line 2: "purple" is not an answer to seals. Let it mean a phrase that is, such as',
        ),
        ("sorted", "fine", "nix", 'There is no question "nix"'),
        ("gone", "fine", "seals", '"gone" means something else already'),
        ("all good", "fine", "seals", '"all good" is understood at seals already'),
        ("bent", "fine", "seals", '"bent" means something else already'),
        ("go back", "fine", "seals", '"go back" means something else already, as a command'),
        ("yes", "fine", "seals", '"yes" is said around answers'),
        ("i think", "fine", "seals", '"i think" is said around answers'),
        ("lose", "fine", "hinges.fixings", "a slip of the finger away from"),
        (
            "top",
            "fine",
            "seals",
            '"top" sounds too much like "torn", which means the opposite at seals: 0.9 apart',
        ),
        ("food", "broken", "latch", '"food" is a slip of the finger away from "foot"'),
        ("all sorted and nice and tight and good too", "fine", "seals", "longer than 8 words"),
        ("100 per cent", "fine", "seals", "numbers as words"),
        ("sign's sorted", "fine", "seals", 'is read as "sign sorted". Write it so.'),
    ],
)
def test_a_phrase_is_refused_with_its_line_and_what_to_do(say, means, question, why):
    with pytest.raises(OwnWordsError) as refused:
        understanding("# ours\n" + phrase(say, means, question))
    assert why in str(refused.value) and "words.toml, line 2: " in str(refused.value)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("[[phrase]\n", "is not TOML"),
        ('[phrase]\nsay = "x"\n', "with two brackets"),
        ("size = 3\n", 'no key "size"'),
        (
            phrase("sorted", "fine", "seals") + "colour = 1\n",
            'line 1: [[phrase]] has no key "colour"',
        ),
        ('[[phrase]]\nsay = "sorted"\nmeans = "fine"\n', 'line 1: [[phrase]] needs question = "…"'),
        (SORTED + SORTED, 'line 5: "sorted" stands on line 1 too'),
        (
            SORTED + phrase("sorted", "missing", "seals"),
            'line 5: "sorted" means something else on line 1',
        ),
        (
            word("kaput", 'phones = "K QQ"'),
            'line 1: "QQ" is not a phone of the CMU dictionary. Use AA AE',
        ),
        (word("kaput", 'sounds_like = "kaboot put"'), 'no dictionary has "kaboot"'),
        (word("kaput", "confirmed = true"), 'needs either phones = "…" or sounds_like = "…"'),
        (word("kaput", 'phones = "K AH"\nconfirmed = "yes"'), "confirmed is true or false"),
        (word("two words", 'phones = "K AH"'), "one word of the letters a to z"),
        (word("kaput", 'phones = "K AH"') * 2, 'line 4: "kaput" stands on line 1 too'),
    ],
)
def test_a_bad_file_is_refused_whole(text, why):
    with pytest.raises(OwnWordsError) as refused:
        understanding(text)
    assert why in str(refused.value)
