"""Named points at which a test may kill the process, to prove that nothing acknowledged is lost.

Set CORNERBOOK_CRASH_AT to one of the names below and the process dies there as in `kill -9`:
no handler runs, no buffer is flushed. Unset, which is always so outside tests, a point does nothing.
"""

import os
import signal

CRASH_POINTS = (
    "photo: body read",
    "photo: temp written",
    "photo: file synced",
    "photo: renamed",
    "photo: directory synced",
    "store: begun",
    "shop: capture row added",
    "shop: receipt row added",
    "store: before commit",
    "store: after commit",
    "web: answer: before",
    "web: answer: after",
)
"""All points, in the order in which a photo sent by a phone passes them."""


def crash_point(name: str) -> None:
    if os.environ.get("CORNERBOOK_CRASH_AT") == name:
        os.kill(os.getpid(), signal.SIGKILL)
