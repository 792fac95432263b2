"""Names that survive a power cut: a file's own sync does not write down that it is there."""

import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Returns when everything made in or renamed into a folder is there for good."""
    if os.name == "nt":  # folders cannot be opened there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
