"""French and Spanish beside English: what is said in them is recorded as the same said in English.

The words of both are from memory (see the files); that the pairs say the same is from memory as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from ledger_day import Day
from test_say import evening

from partway.actions.saying.say import read_said, say
from partway.ledger.events.codec import to_json
from partway.saying.lexicon import languages, lexicon_named

SAME = {
    "fr": {
        "trouvé deux micro-ondes, un fonctionne": "found two microwaves, one works",
        "J'ai ouvert le four, dix-neuf minutes, une demi-livre de transformateur, cordon virgule six, reste là": (
            "opened the oven, nineteen minutes, half a pound of transformer, cord point six, rest still left"
        ),
        "pesé le bac des moteurs quarante et un et demi": "weighed the motor bin forty one and a half",
        "vendu le clavier pour vingt-cinq, trois cinquante de port": (
            "sold the keyboard for twenty five, three fifty postage"
        ),
        "cuivre numéro deux chez harbour quatre dix": "no. 2 copper at the harbour four ten",
        "essence quarante dollars": "fuel forty dollars",
        "deux heures à l'établi": "two hours at the bench",
        "ridge yard prend le lithium maintenant": "ridge yard takes lithium now",
        "harbour ne prend plus de plomb": "harbour no longer takes lead",
        "le four ne marche pas": "the oven doesn't work",
        "hier ramassé soixante-quinze grille-pain": "yesterday found seventy five toasters",
        "enlevé le cordon du four, deux minutes": "took the cord off the oven, two minutes",
        "trouvé quatre-vingt-onze claviers": "found ninety one keyboards",
    },
    "es": {
        "encontré dos microondas, uno funciona": "found two microwaves, one works",
        "abrí el horno, diecinueve minutos, media libra de transformador, cable punto seis, el resto queda": (
            "opened the oven, nineteen minutes, half a pound of transformer, cord point six, rest still left"
        ),
        "pesé el bote de motores cuarenta y uno y medio": "weighed the motor bin forty one and a half",
        "vendí el teclado por veinticinco, tres cincuenta de envío": (
            "sold the keyboard for twenty five, three fifty postage"
        ),
        "cobre número dos en harbour cuatro diez": "no. 2 copper at the harbour four ten",
        "gasolina cuarenta dólares": "fuel forty dollars",
        "dos horas en el banco": "two hours at the bench",
        "ridge yard acepta litio ahora": "ridge yard takes lithium now",
        "harbour ya no acepta plomo": "harbour no longer takes lead",
        "el horno no funciona": "the oven doesn't work",
        "quité el cable del horno, dos minutos": "took the cord off the oven, two minutes",
        "ayer encontré setenta y cinco tostadoras": "yesterday found seventy five toasters",
    },
}
# In any order of the words, which is asked about: the first answer is taken.
ANY_ORDER = {
    "fr": {
        "pour vingt-cinq j'ai vendu le clavier": "sold the keyboard for twenty five",
        "le clavier je l'ai vendu vingt-cinq": "sold the keyboard for twenty five",
        "dix-neuf minutes pour ouvrir le four": "opened the oven, nineteen minutes",
        "quarante dollars a coûté l'essence": "fuel forty dollars",
        "quarante et une livres pèse le bac des moteurs": "weighed the motor bin forty one pounds",
    },
    "es": {
        "por veinticinco vendí el teclado": "sold the keyboard for twenty five",
        "diecinueve minutos abrir el horno": "opened the oven, nineteen minutes",
        "cuarenta dólares costó la gasolina": "fuel forty dollars",
        "cuarenta y un libras pesa el bote de motores": "weighed the motor bin forty one pounds",
        "funciona el teclado": "the keyboard works",
    },
}
OTHERWISE = [
    ("fr", "je n'ai pas vendu le clavier pour vingt-cinq"),
    ("fr", "presque vendu le clavier pour vingt-cinq"),
    ("fr", "je vais vendre le clavier vingt"),
    ("es", "no vendí el teclado por veinticinco"),
    ("es", "casi vendí el teclado por veinticinco"),
    ("es", "voy a vender el teclado por veinte"),
]
PAIRS = [(language, said, english) for language, pairs in SAME.items() for said, english in pairs.items()]
FREE = {"what", "said"}  # texts that are kept as they were said


def _payloads(day: Day, text: str, language: str) -> list[Mapping[str, Any]]:
    done = day.do(say, text, _answers(day, text, language), language)
    told = [dict(to_json(event)) for event in done.events]
    return [{k: v for k, v in event["data"].items() if k not in FREE} | {"kind": event["kind"]} for event in told]


def _answers(day: Day, text: str, language: str) -> dict[str, str]:
    """The first answer to whatever is asked."""
    answers: dict[str, str] = {}
    while asked := read_said(day.book, day.context(), text, answers, language).open:
        answers |= {line.option: line.choices[0][0] for line in asked}
    return answers


@pytest.mark.parametrize(("language", "said", "english"), PAIRS)
def test_it_is_recorded_as_the_same_in_english(language: str, said: str, english: str) -> None:
    assert _payloads(evening(), said, language) == _payloads(evening(), english, "en")


@pytest.mark.parametrize(
    ("language", "said", "english"),
    [(language, said, english) for language, pairs in ANY_ORDER.items() for said, english in pairs.items()],
)
def test_in_any_order_it_is_asked_and_then_the_same(language: str, said: str, english: str) -> None:
    day = evening()
    assert read_said(day.book, day.context(), said, None, language).open
    assert _payloads(evening(), said, language) == _payloads(evening(), english, "en")


@pytest.mark.parametrize(("language", "said"), OTHERWISE)
def test_what_was_not_so_is_a_note_at_most(language: str, said: str) -> None:
    day = evening()
    before = day.book.state
    assert not read_said(day.book, day.context(), said, None, language).ready
    assert day.book.state is before
    assert {event["kind"] for event in _payloads(day, said, language)} <= {"noted"}


@pytest.mark.parametrize("language", languages())
def test_a_lexicon_reads_every_act_and_says_where_its_words_are_from(language: str) -> None:
    lexicon, english = lexicon_named(language), lexicon_named("en")
    assert {one.does for one in lexicon.heads} == {one.does for one in english.heads}
    assert {one.does for one in lexicon.parts} >= {"works", "more", "mass", "minutes", "piece", "postage", "day"}
    assert lexicon.source == ("practice" if language == "en" else "memory")
    assert {meant for table in lexicon.tables["activity"].items() for meant in table[1:]} == {
        "bench", "collect", "haul", "list", "other",
    }  # fmt: skip
