"""What a form may send: exactly the fields its page has, each as typed.

    @router.post("/tags/{tag_id}/shelf")
    def put_on_shelf(request: Request, tag_id: RowId, visitor: Signed, store: Store, now: Now,
                     form: Annotated[Fields, Depends(fields("shelf", many=("scope",), files=("photo",)))]):
        form["shelf"]        as typed, "" where it was left out
        form.many("scope")   all that were ticked
        form.files("photo")  pictures, as `Upload(name, body)`; an empty file input is none
        form.client_id       the id of this write, made before it was first sent

`client_id` and `form_key` are fields of every form and need not be named. What is sent beyond the named ones
is refused, so nobody slips a role or a date in. A form that takes files is for people who are signed in.
"""

import hashlib
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from typing import cast
from urllib.parse import parse_qsl

from fastapi import Request
from starlette.exceptions import HTTPException

from server.settings import Settings
from server.web import multipart
from server.web.form_key import is_form_key
from server.web.visitor import Anyone, NotSignedIn

ALWAYS = ("client_id", "form_key")
URLENCODED, MULTIPART = "application/x-www-form-urlencoded", "multipart/form-data"

BROKEN = "What arrived was not a whole form. Go back and send it again."
STRANGE = "That form has a field which its page does not have. Nothing was recorded."
TWICE = "That form has the same field twice. Nothing was recorded."
STALE = "This page was open for too long. Load it again and repeat what you did. Nothing was recorded."
UNKEEPABLE = "There is a character in it that cannot be kept. Type it anew. Nothing was recorded."
TOO_MUCH = "That is more than fits. Nothing was recorded."
WRONG_KIND = "Send this from the page's own form."


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as the phone sent it. Its name is for showing, never a path."""

    name: str
    body: bytes


@dataclass(frozen=True, slots=True)
class Fields:
    _texts: Mapping[str, list[str]]
    _files: Mapping[str, list[Upload]]

    def __getitem__(self, name: str) -> str:
        return next(iter(self._texts[name]), "")

    def many(self, name: str) -> list[str]:
        return self._texts[name]

    def files(self, name: str) -> list[Upload]:
        return self._files[name]

    @property
    def client_id(self) -> str:
        return self["client_id"]

    @property
    def content(self) -> dict[str, list[str]]:
        """What was sent, for telling a second sending from another one under the same id.

        Never a PIN: a digest of this is kept, and a million PINs are tried against a digest in no time.
        """
        texts = {name: texts for name, texts in self._texts.items() if not (name in ALWAYS or is_pin(name))}
        return texts | {
            name: [hashlib.sha256(upload.body).hexdigest() for upload in uploads]
            for name, uploads in self._files.items()
        }


def is_pin(name: str) -> bool:
    """Whether a field is for a PIN, by its name: pin, pin_again, old_pin, second_pin."""
    return "pin" in name.split("_")


def fields(
    *names: str, many: tuple[str, ...] = (), files: tuple[str, ...] = ()
) -> Callable[[Request, Anyone], Awaitable[Fields]]:
    """A dependency that reads the form once. Answers 400, 403, 413, 415 or 422 with a sentence itself."""
    single = (*names, *ALWAYS)

    async def read_form(request: Request, visitor: Anyone) -> Fields:
        if files and visitor is None:
            raise NotSignedIn
        texts: dict[str, list[str]] = {name: [] for name in (*single, *many)}
        uploads: dict[str, list[Upload]] = {name: [] for name in files}
        for part in await _parts(request, takes_files=bool(files)):
            if part.name in uploads and part.file_name is not None:
                uploads[part.name] += _upload(request, part)
            elif part.name in texts and part.file_name is None:
                texts[part.name].append(_text(part))
            else:
                raise HTTPException(422, STRANGE)
        if any(len(texts[name]) > 1 for name in single):
            raise HTTPException(422, TWICE)
        form = Fields(texts, uploads)
        if not is_form_key(request, form["form_key"]):
            raise HTTPException(403, STALE)
        return form

    return read_form


async def _parts(request: Request, *, takes_files: bool) -> list[multipart.Part]:
    content_type = request.headers.get("content-type", "")
    kind = content_type.partition(";")[0].strip().lower()
    if kind not in (URLENCODED, MULTIPART) or (kind == MULTIPART and not takes_files):
        raise HTTPException(415, WRONG_KIND)
    body = await request.body()
    most = _settings(request).form_fields
    try:
        if kind == MULTIPART:
            return multipart.read(body, content_type, most_parts=most)
        return _pairs(body, most)
    except multipart.Malformed as error:
        raise HTTPException(400, BROKEN) from error


def _pairs(body: bytes, most: int) -> list[multipart.Part]:
    """raises  Malformed where a byte is not percent-encoded UTF-8, or there are too many fields."""
    try:
        pairs = parse_qsl(body.decode("ascii"), keep_blank_values=True, max_num_fields=most, errors="strict")
    except ValueError as error:  # UnicodeDecodeError is one, too
        raise multipart.Malformed(str(error)) from error
    return [multipart.Part(name, None, bytearray(text.encode())) for name, text in pairs]


def _text(part: multipart.Part) -> str:
    """As typed, with the line ends that were typed and not those of the protocol."""
    if b"\0" in part.body:
        raise HTTPException(422, UNKEEPABLE)
    try:
        return multipart.decoded(bytes(part.body)).replace("\r\n", "\n")
    except multipart.Malformed as error:
        raise HTTPException(400, BROKEN) from error


def _upload(request: Request, part: multipart.Part) -> list[Upload]:
    if len(part.body) > _settings(request).photo_bytes:
        raise HTTPException(413, TOO_MUCH)
    if not part.file_name and not part.body:
        return []
    return [Upload(part.file_name or "", bytes(part.body))]


def _settings(request: Request) -> Settings:
    return cast(Settings, request.app.state.settings)
