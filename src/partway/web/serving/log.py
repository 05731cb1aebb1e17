"""The log of an app that serves: one line an event, when (UTC), how grave, of what, and what happened."""

from __future__ import annotations

import logging
import time

LINE = "%(asctime)s.%(msecs)03dZ %(levelname)s %(name)s %(message)s"
WHEN = "%Y-%m-%dT%H:%M:%S"


def begin_log() -> None:
    """From now on what is logged goes to standard error, which a service manager keeps."""
    formatter = logging.Formatter(LINE, WHEN)
    formatter.converter = time.gmtime
    handler = logging.StreamHandler()
    handler.setFormatter(formatter)
    ours = logging.getLogger("partway")
    ours.addHandler(handler)
    ours.setLevel(logging.INFO)
