"""How much a photograph may be: as it is sent, and as it is kept. Each bound stands here and nowhere else."""

from __future__ import annotations

SENT_MOST = 15_000_000  # bytes of a file that is sent; a telephone's largest are some 12 million (from memory)
PIXELS_MOST = 64_000_000  # of a file that is sent: more is turned away by its header, before anything is unpacked
SIDE_SENT_MOST = 20_000  # pixels
SCANS_MOST = 64  # passes over one JPEG: a few bytes may ask for thousands, each as dear as the whole picture
SIDE_MOST = 1600  # pixels, the longer side as it is kept: a model number is still read at arm's length
SIDE_SMALL = 320  # pixels, the longer side as it is shown among others
KEPT_MOST = 3_000_000  # bytes as it is kept
QUALITIES = (82, 60, 35)  # of JPEG, the first that comes within the bound
