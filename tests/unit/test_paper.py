"""Letter or A4, by the place of a workspace.

Checked against Unicode CLDR 46, supplemental measurement data, paperSize: A4 in the world, US-Letter in fourteen
territories (read in a copy of it that the Perl package Locale::CLDR was made from).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from app_client import visitor

from partway.actions.bins.bins import add_bin
from partway.actions.home.settings import set_
from partway.web.paper import LETTER, paper_of


@pytest.mark.parametrize(
    ("locale", "zone", "paper"),
    [
        ("en_CA", "", "letter"),
        ("fr_CA", "Europe/Paris", "letter"),  # how one writes says where one buys paper before the clock does
        ("es_MX", "", "letter"),
        ("en_GB", "America/Halifax", "a4"),
        ("de_DE", "", "a4"),
        ("en", "America/Halifax", "letter"),
        ("en", "Europe/Berlin", "a4"),
        ("", "", "a4"),
        ("no locale", "no/zone", "a4"),
    ],
)
def test_the_paper_of_a_place(locale: str, zone: str, paper: str) -> None:
    assert paper_of(locale, zone) == paper


def test_fourteen_countries_use_letter() -> None:
    assert sorted(LETTER) == ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"]


def test_every_page_says_its_paper_and_a_failure_too(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        set_(v.book, v.context(), "zone", "Europe/Berlin")
        assert 'class="on-a4"' in v.open("/books")
        set_(v.book, v.context(), "locale", "en_CA")
        assert 'class="on-letter"' in v.open("/books")
        assert 'class="on-letter"' in v.open("/nowhere", 404)


def test_labels_are_for_the_paper_of_the_place_until_another_is_chosen(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        add_bin(v.book, v.context(), "motors")
        set_(v.book, v.context(), "locale", "en_US")
        assert 'class="labels letter large"' in v.open("/bins/labels")
        assert 'class="labels a4 large"' in v.open("/bins/labels?paper=a4")
        set_(v.book, v.context(), "locale", "de_DE")
        assert 'class="labels a4 large"' in v.open("/bins/labels")
