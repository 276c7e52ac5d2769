"""doorround grammar say and grammar words: pronunciations, and the organisation's own phrases."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson
from doorround.config.data_folder import write_whole

if TYPE_CHECKING:
    from doorround.hearing.adaptation.own_words import OwnPhrase, OwnWords
    from doorround.hearing.lexicon.pronunciations import Phones

words_app = typer.Typer(
    help="The organisation's own words: words.toml in DOORROUND_HOME.", no_args_is_help=True
)


def say(
    word: Annotated[str, typer.Argument(help="One word, of an answer or of a door's name.")],
    sounds_like: Annotated[
        str | None, typer.Option(help='Respell it with usual words: "door vane".')
    ] = None,
    phones: Annotated[
        list[str] | None, typer.Option(help='CMU phones, "D AO V EY N". Repeatable.')
    ] = None,
    confirm: Annotated[
        bool, typer.Option(help="Write the pronunciation shown into words.toml as confirmed.")
    ] = False,
) -> None:
    """Show a word's pronunciation and its source; speak the word and recognise it, if a synthesiser
    is installed.

    A guessed pronunciation is used, but phrases recognised through it are read back until somebody
    has confirmed it.
    """
    with cli_errors():
        from doorround.hearing.adaptation.own_words import plain_phrase
        from doorround.wiring import load_own_words

        spoken = plain_phrase(word)
        own = load_own_words()
        if " " in spoken:
            raise ValueError("Give one word. For a phrase: doorround grammar words add.")
        given = _given_ways(phones or [], sounds_like)
        ways = given or own.ways(spoken)
        source = "given" if given else _source(spoken, own)
        for way in ways:
            typer.echo(f"{spoken:<20} {' '.join(way):<32} {source}")
        for line in _heard(spoken, ways):
            typer.echo(line)
        if confirm:
            _confirm(spoken, ways, own)
        elif own.guessed(spoken) or given:
            typer.echo(
                "Not confirmed. If that is right, run the same with --confirm; else give"
                " --sounds-like."
            )


def _given_ways(phones: list[str], sounds_like: str | None) -> tuple[Phones, ...]:
    """The pronunciation given by the options; nothing if neither is given."""
    from doorround.hearing.adaptation.own_words import phones_of, sounding_like
    from doorround.wiring import known_words

    ways = tuple(phones_of(each) for each in phones)
    return (*ways, sounding_like(sounds_like, known_words())) if sounds_like else ways


def _source(word: str, own: OwnWords) -> str:
    from doorround.hearing.lexicon.pronunciations import bundled_dictionary

    entry = next((each for each in own.words if each.word == word), None)
    if entry:
        return f"words.toml, {'confirmed' if entry.confirmed else 'not confirmed'}"
    if word in bundled_dictionary():
        return "dictionary"
    return "word list of the program" if own.known.written(word) else "guessed from its letters"


def _heard(word: str, ways: tuple[Phones, ...]) -> list[str]:
    """What the engines recognise for the spoken word; one line each."""
    from doorround.config.settings import read_settings
    from doorround.hearing.adaptation.pronunciation_check import (
        check_spoken,
        nearest_words,
        sphinx_with,
        synthesiser,
    )
    from doorround.hearing.model_files.weights import find_weights
    from doorround.wiring import load_own_words, load_understanding, spoken_words

    speak = synthesiser()
    if speak is None:
        return ["Not spoken: no synthesiser is installed here (dev extra)."]
    own = load_own_words()
    sound = speak(word)
    beside = nearest_words(
        word,
        load_understanding().grammar_set.vocabulary,
        lambda w: ways if w == word else own.ways(w),
    )
    engines = [sphinx_with({**spoken_words(), word: ways})]
    if folder := find_weights(read_settings().models):
        from doorround.hearing.engines.whisper_engine import WhisperEngine

        engines.append(WhisperEngine(folder))  # type: ignore[arg-type]
    return [
        f"Spoken, and recognised by {found.engine} among {len(beside)} similar-sounding words: "
        + ("right." if found.right else f'no, as "{found.heard}".')
        for found in check_spoken(word, sound, beside, engines)
    ]


def _confirm(word: str, ways: tuple[Phones, ...], own: OwnWords) -> None:
    from doorround.config.settings import read_settings
    from doorround.hearing.adaptation.own_words import OwnWords, with_confirmed

    text = with_confirmed(own, word, ways)
    OwnWords.of_text(text, own.known)
    path = read_settings().own_words
    write_whole(path, text)
    typer.echo(f'Confirmed. "{word}" is saved in {path}.')


@words_app.command("list")
def list_words(as_json: AsJson = False) -> None:
    """List the organisation's phrases and words, each confirmed or guessed; fails if words.toml
    cannot be used.
    """
    with cli_errors():
        from doorround.wiring import load_own_words, load_understanding

        grammar_set = load_understanding().grammar_set
        own = load_own_words()
        rows = [_phrase_row(each, grammar_set.guessed) for each in own.phrases]
        rows += [_word_row(word, ways, own) for word, ways in own.spoken.items()]
        empty = "None yet. See: doorround grammar words add --help"
        show_listing(("question or word", "said", "state"), rows, as_json, empty)


def _phrase_row(phrase: OwnPhrase, all_guessed: AbstractSet[str]) -> Row:
    guessed = sorted(all_guessed & set(phrase.say.split()))
    state = f"guessed: {', '.join(guessed)}; read back" if guessed else "confirmed"
    data = {**asdict(phrase), "guessed": guessed}
    return Row(data, (phrase.question, f'"{phrase.say}" means "{phrase.known_phrase}"', state))


def _word_row(word: str, ways: tuple[Phones, ...], own: OwnWords) -> Row:
    said = [" ".join(way) for way in ways]
    source = _source(word, own)
    state = "guessed" if own.guessed(word) else "confirmed"
    data = {"word": word, "phones": said, "source": source, "confirmed": not own.guessed(word)}
    return Row(data, (word, " / ".join(said), f"{source}, {state}"))


@words_app.command("add")
def add(
    phrase: Annotated[str, typer.Argument(help="What people say.")],
    means: Annotated[str, typer.Option(help="A phrase that the question already understands.")],
    question: Annotated[str, typer.Option(help="Key of the question; see doorround questions.")],
) -> None:
    """Give a phrase the meaning of another one at a question. Refused if it already means something
    else or sounds like the opposite.
    """
    with cli_errors():
        from doorround.config.resources import load_checklist
        from doorround.config.settings import read_settings
        from doorround.hearing.adaptation.own_phrases import with_own_words
        from doorround.hearing.adaptation.own_words import (
            OwnPhrase,
            OwnWords,
            plain_phrase,
            with_phrase,
        )
        from doorround.wiring import load_grammar, load_own_words

        own = load_own_words()
        text = with_phrase(own.text, OwnPhrase(plain_phrase(phrase), plain_phrase(means), question))
        after = OwnWords.of_text(text, own.known)
        grammar_set = with_own_words(load_grammar(), after, load_checklist(after.checklist))
        path = read_settings().own_words
        write_whole(path, text)
        typer.echo(
            f'"{plain_phrase(phrase)}" now means "{plain_phrase(means)}" at {question}. It is saved'
            f" in {path}."
        )
        for word in sorted(grammar_set.guessed.intersection(plain_phrase(phrase).split())):
            typer.echo(
                f'How "{word}" is pronounced is guessed, so it is read back. See: doorround grammar'
                f" say {word}"
            )
