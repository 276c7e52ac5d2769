"""When something heard may answer a question: nothing but a sure and seconded pass ever passes a
door.
"""

from dataclasses import replace

import numpy as np
import pytest
from scripted_engine import AUDIO, YES_NO, Scripted, scored

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, sound_of
from doorround.hearing.audio.vad import DetectedSpeech, speech_probabilities
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import Piece, RecognitionPipeline
from doorround.hearing.decision.rescoring import WORD, rescore
from doorround.hearing.engines.moonshine_engine import Fit
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.score import Score
from doorround.hearing.engines.tuning import MAX_SHARED
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.grammar.active_grammar import PhraseReading, Polarity
from doorround.hearing.grammar.error_costs import read_costs
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.grammar.phrase_numbers import numbers_in

SILENT = sound_of(np.zeros(RATE, np.float32))


def test_the_nearer_the_opposite_the_likelier_it_was_said():
    ear = RecognitionPipeline(Scripted())
    doubtful = {"loop": -2.0, "talk": -20.0, "log_frames": 5.0}
    shares = [
        ear.probabilities(scored("yes", turned=nats, **doubtful), YES_NO)[1]
        for nats in (0.0, 10.0, 80.0)
    ]
    assert shares == sorted(shares, reverse=True) and shares[0] > shares[-1]


def test_how_it_was_heard_is_kept_for_the_record():
    ear = RecognitionPipeline(Scripted("yes", "three"))
    heard = ear.listen(load_sound(AUDIO / "said" / "yes.ogg"), YES_NO)
    record = ear.record(heard, "0123456789abcdef")
    assert record.engines == {"pocketsphinx": "scripted"} and record.grammar == "0123456789abcdef"
    assert (record.right, record.decision) == (round(heard.probability, 4), "accept")
    assert (
        set(record.costs) == {"accept", "read back", "ask again"} and len(record.calibration) == 16
    )
    assert [phrase for phrase, _ in record.alternatives] == ["three"]


def test_what_is_not_entered_as_an_answer_comes_with_what_was_written_freely(monkeypatch):
    """ "Seized" was heard as the name "seals", which alone is no answer: nothing was left of it."""
    ear = RecognitionPipeline(Scripted("yes"))
    score = ear.score_phrases
    monkeypatch.setattr(
        ear, "score_phrases", lambda *given: replace(score(*given), write=lambda: "Seized.")
    )
    alone = load_sound(AUDIO / "said" / "yes.ogg")
    breath = load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg")
    name = replace(YES_NO, read=lambda phrase: replace(YES_NO.read(phrase), name=True))
    assert ear.listen(alone, YES_NO).transcript == ""
    for heard in (ear.listen(breath, YES_NO), ear.listen(alone, name)):
        assert heard.outcome is not Outcome.OFF_GRAMMAR and heard.transcript == "Seized."


def test_where_nobody_speaks_no_engine_is_asked():
    engine = Scripted("yes")
    for nothing in (
        SILENT,
        sound_of(np.zeros(0, np.float32)),
        load_sound(AUDIO / "nothing" / "lorry-passing.ogg"),
    ):
        recognition = RecognitionPipeline(engine).listen(nothing, YES_NO)
        assert (recognition.outcome, recognition.phrase, recognition.probability) == (
            Outcome.SILENCE,
            None,
            0.0,
        )
    assert engine.asked == 0


def test_what_hardly_sounds_like_speech_is_put_to_the_engine_and_less_is_silence():
    engine = Scripted("yes")
    sound = load_sound(AUDIO / "said" / "yes.ogg")
    frames = len(speech_probabilities(sound))
    assert (
        RecognitionPipeline(engine)
        .listen(DetectedSpeech(sound, np.full(frames, 0.29)), YES_NO)
        .outcome
        is Outcome.SILENCE
    )
    assert engine.asked == 0
    assert (
        RecognitionPipeline(engine)
        .listen(DetectedSpeech(sound, np.full(frames, 0.31)), YES_NO)
        .outcome
        is not Outcome.SILENCE
    )
    assert engine.asked == 1


def test_an_engine_that_cannot_tell_gives_off_grammar():
    recognition = RecognitionPipeline(Scripted()).listen(
        load_sound(AUDIO / "said" / "yes.ogg"), YES_NO
    )
    assert (recognition.outcome, recognition.phrase, recognition.guesses) == (
        Outcome.OFF_GRAMMAR,
        None,
        (),
    )


def test_pieces_are_heard_one_by_one_and_narrow_what_may_follow():
    breath = load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg")
    asked = []

    def allowed_for(phrase):
        asked.append(phrase)
        return YES_NO

    pieces = RecognitionPipeline(Scripted("three")).listen_pieces(breath, allowed_for)
    assert [piece.recognition.phrase for piece in pieces] == ["three"] * 3
    assert asked == [None, "three", "three", "three"]
    assert pieces[0].start < pieces[0].end < pieces[1].start < breath.seconds


def test_whoever_follows_the_pieces_says_from_which_phrase_to_go_on():
    breath = load_sound(AUDIO / "breath" / "seals-fine--three--slams.ogg")
    told = []
    asked = []

    def understood(piece):
        assert isinstance(piece, Piece)
        told.append(piece.recognition.phrase)
        return "first" if len(told) == 1 else None

    def allowed_for(phrase):
        asked.append(phrase)
        return YES_NO

    RecognitionPipeline(Scripted("no")).listen_pieces(breath, allowed_for, understood)
    assert (told, asked) == (["no"] * 3, [None, "first"])


def test_an_ear_without_an_engine_cannot_be():
    with pytest.raises(ValueError, match="needs an engine"):
        RecognitionPipeline(None)


@pytest.mark.parametrize(
    ("wanted", "message"),
    [
        ("vosk", "doorround models get"),
        ("whistling", "auto, listeners, pair, listener, vosk, pocketsphinx"),
    ],
)
def test_an_engine_that_is_not_there_says_what_to_do(tmp_path, wanted, message):
    with pytest.raises(EngineUnavailable, match=message):
        choose_engines(tmp_path, wanted)


def test_yes_can_pass_no_never_and_other_words_do_neither():
    assert [YES_NO.polarity(word) for word in YES_NO.short] == [
        Polarity.PASS,
        Polarity.DEFECT,
        Polarity.NEITHER,
    ]
    other = grammar_of_phrases(["Fine", "slams"], {"fine": Polarity.PASS, "slams": Polarity.DEFECT})
    assert [other.polarity(word) for word in other.short] == [Polarity.PASS, Polarity.DEFECT]


@pytest.mark.parametrize("phrases", [[], [""], ["3"], ["yes | no"], ["<any>"]])
def test_only_words_can_be_listened_for(phrases):
    with pytest.raises(ValueError, match=r"listen"):
        grammar_of_phrases(phrases)


def test_engines_that_differ_in_a_number_do_not_second_each_other():
    assert numbers_in("two thousand and four") != numbers_in("two thousand and forty")
    assert numbers_in("three and a half millimetres") == numbers_in("about three and a half")
    assert numbers_in("all in place") == ()


class Followed:
    """A listener that finds these phrases, the first best, each a nat behind the one before."""

    def __init__(self, *phrases):
        self.phrases = phrases

    def search(self, _encoded, _allowed):
        return [Score(phrase, 30.0 - place, -0.1, 0.0) for place, phrase in enumerate(self.phrases)]

    def scores(self, _encoded, phrases):
        return [Score(phrase, 0.0, -5.0, 1.0) for phrase in phrases]

    def ended(self, _encoded, _phrase):
        return -0.1


def test_a_phrase_is_held_against_another_meaning_however_many_ways_there_are_to_say_it():
    """The second listener is given few phrases; were all of them "yes", nothing would stand against
    it.
    """
    ways = [
        f"yes {word}" for word in ("it", "is", "so", "and", "that", "was", "all", "there", "of")
    ]
    assert len(ways) > MAX_SHARED
    asked = []

    def read(phrase):
        return PhraseReading(Polarity.PASS, phrase.split()[0], read_costs().passing)

    def fits(phrases):
        asked.append(list(phrases))
        return {phrase: Fit(0.0, 0.0) for phrase in phrases}

    grammar = replace(grammar_of_phrases([*ways, "no", "maybe"]), read=read)
    heard = rescore(
        Followed(*ways, "no", "maybe"), None, None, grammar, lambda phrases: lambda: fits(phrases)
    )
    assert heard.guesses[0].phrase == "yes it"
    assert asked[0] == [*ways[:MAX_SHARED], "no"]
    # nine places behind; a word less to pay for
    assert heard.evidence["margin"] == pytest.approx(9 - WORD)
