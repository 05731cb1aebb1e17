"""New files and folders for an export: there whole or not at all, and never in the place of something else."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from partway.storage.aside import beside, name_it, refuse_if_there, to_disk
from partway.storage.refusals import in_words


@contextmanager
def new_file(target: Path) -> Iterator[Path]:
    """A name beside `target` to write to; once that is done it is on the disk and gets its own name.

    Raises BadLedger (a Refused) where `target` is already there or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        yield part
        name_it(part, target)


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """A folder beside `target` to fill; once that is done its files are on the disk and it is renamed to `target`.

    Raises BadLedger (a Refused) where `target` is already there or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        try:
            part.mkdir()
            yield part
            for file in part.iterdir():
                to_disk(file)
            refuse_if_there(target)  # a rename would take the place of an empty folder
            part.rename(target)
            to_disk(target.parent)
        finally:
            shutil.rmtree(part, ignore_errors=True)
