"""Static files, each at an address that changes with its content, so that browsers may keep it for good."""

import hashlib
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

FOR_GOOD = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"


class Assets:
    """The folder of static files and what is in them."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._known: dict[str, tuple[int, str]] = {}

    def address(self, name: str) -> str:
        """raises  FileNotFoundError for a file that is not there, so that a page cannot ask for it."""
        changed = (self._folder / name).stat().st_mtime_ns
        known = self._known.get(name)
        if known is None or known[0] != changed:
            digest = hashlib.sha256((self._folder / name).read_bytes()).hexdigest()[:12]
            known = self._known[name] = changed, f"/static/{name}?v={digest}"
        return known[1]


class StaticFolder(StaticFiles):
    """The files themselves; those asked for by their content's address may be kept."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        is_addressed = scope["query_string"].startswith(b"v=")
        response.headers["Cache-Control"] = FOR_GOOD if is_addressed else ASK_AGAIN
        return response
