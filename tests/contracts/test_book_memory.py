"""The book in memory keeps the contract of a book."""

from __future__ import annotations

import pytest
from book_contract import BookContract

from partway.ledger.book import Book
from partway.ledger.memory import MemoryBook


class TestMemoryBook(BookContract):
    @pytest.fixture
    def book(self) -> Book:
        return MemoryBook()
