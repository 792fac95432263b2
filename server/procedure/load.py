"""Reads the procedure library: one YAML file per kind of front end, checked as a whole."""

from pathlib import Path as FilePath

from pydantic import ValidationError

from server.procedure.check import check
from server.procedure.document import Document, Fault, LibraryError, read_document
from server.procedure.model import FrontEnd
from server.procedure.plan import PlanError, plan

LIBRARY = FilePath(__file__).parent / "library"


def front_ends(folder: FilePath = LIBRARY) -> dict[str, FrontEnd]:
    """Every front end of the library, by id, in the order of the file names.

    raises     LibraryError, as soon as one file is wrong: half a library is none
    """
    paths = sorted(folder.glob("*.yaml"))
    if not paths:
        raise LibraryError(Fault(str(folder), 0, "no front end here"))
    found: dict[str, FrontEnd] = {}
    for path in paths:
        front_end = load(path)
        if front_end.id in found:
            raise LibraryError(Fault(str(path), 1, f"front end {front_end.id!r} is in another file too"))
        found[front_end.id] = front_end
    return found


def load(path: FilePath) -> FrontEnd:
    """The front end in that file; raises LibraryError."""
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise LibraryError(Fault(str(path), line, "not UTF-8 text")) from error
    return parse(text, file=str(path))


def parse(text: str, *, file: str) -> FrontEnd:
    """The front end written in `text`; raises LibraryError naming `file` and line."""
    document = read_document(text, file=file)
    try:
        front_end = FrontEnd.model_validate(document.content)
    except ValidationError as error:
        raise LibraryError(*_faults(document, error)) from error
    wrong = [document.fault(path, what) for path, what in check(front_end)]
    if wrong:
        raise LibraryError(*sorted(wrong, key=lambda fault: fault.line))
    _refuse_stuck_plan(document, front_end)
    return front_end


def _refuse_stuck_plan(document: Document, front_end: FrontEnd) -> None:
    names = [operation.id for operation in front_end.operations]
    for place, scope in enumerate(front_end.scopes):
        for drive in ("LHD", "RHD"):
            try:
                plan(front_end, [scope.id], sides="both", drive=drive)
            except PlanError as error:
                stuck = error.operation in names
                path = ("operations", names.index(error.operation)) if stuck else ("scopes", place)
                raise LibraryError(document.fault(path, f"scope {scope.id!r}: {error}")) from error


def _faults(document: Document, error: ValidationError) -> list[Fault]:
    return [
        document.fault(detail["loc"], f"{'.'.join(map(str, detail['loc']))}: {detail['msg']}")
        for detail in error.errors()
    ]
