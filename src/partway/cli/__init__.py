"""The command line: thin, no arithmetic. Importing it imports nothing heavy."""

from __future__ import annotations

import sys


def main() -> None:
    """Entry point. The bare help page is a file, so that it shows before anything is imported."""
    if sys.argv[1:] in ([], ["--help"], ["-h"]):
        sys.stdout.write(help_page())
        return
    from partway.cli.app import run

    run(sys.argv[1:])


def help_page() -> str:
    """What `partway --help` prints; a test holds it to what the commands themselves say."""
    import os

    with open(os.path.join(os.path.dirname(__file__), "help.txt"), encoding="utf-8") as page:
        return page.read()
