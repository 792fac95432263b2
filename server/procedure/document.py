"""Plain YAML with the line of every entry: mappings, sequences, text, numbers, true, false, null. No more.

Anchors, aliases, tags, tabs, doubled keys and deep nesting are refused, and `on`, `off`, `yes` and `no`
stay the words they are.
"""

import re
from dataclasses import dataclass
from typing import NamedTuple, Protocol

import yaml

Path = tuple[str | int, ...]
MAX_BYTES = 1_000_000
MAX_DEPTH = 12
_NUMBER = re.compile(r"-?[0-9]{1,15}(\.[0-9]{1,15})?")
_WORDS = {"true": True, "false": False, "null": None, "~": None, "": None}


class Fault(NamedTuple):
    """One thing that is wrong with a library file."""

    file: str
    line: int
    what: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.what}"


class LibraryError(ValueError):
    """A library file that cannot be used; names every fault with its file and line."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__("\n".join(map(str, faults)))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Document:
    """A file's content (sequences as tuples) and the line on which each entry stands."""

    file: str
    content: object
    lines: dict[Path, int]

    def line_of(self, path: Path) -> int:
        """The line of the entry, or of the nearest one around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def fault(self, path: Path, what: str) -> Fault:
        """That fault at the entry's line."""
        return Fault(self.file, self.line_of(path), what)


def read_document(text: str, *, file: str) -> Document:
    """The document in `text`; raises LibraryError."""
    _refuse_size_and_tabs(text, file)
    try:
        _refuse_tricks(text, file)
        node = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        line = _line(error.problem_mark or error.context_mark)
        raise LibraryError(Fault(file, line, f"not YAML: {error.problem}")) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        raise LibraryError(Fault(file, line, f"not YAML: {error.reason}")) from error
    if node is None:
        raise LibraryError(Fault(file, 1, "the file is empty"))
    lines: dict[Path, int] = {}
    return Document(file, _plain(node, (), lines, file), lines)


class _Mark(Protocol):
    line: int


def _line(mark: _Mark | None) -> int:
    return 1 if mark is None else mark.line + 1


def _refuse_size_and_tabs(text: str, file: str) -> None:
    if len(text.encode()) > MAX_BYTES:
        raise LibraryError(Fault(file, 1, f"larger than {MAX_BYTES} bytes"))
    for number, line in enumerate(text.split("\n"), start=1):
        if "\t" in line:
            raise LibraryError(Fault(file, number, "a tab: indent with blanks"))


def _refuse_tricks(text: str, file: str) -> None:
    depth = 0
    for event in yaml.parse(text, Loader=yaml.SafeLoader):
        line = _line(event.start_mark)
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
            raise LibraryError(Fault(file, line, "anchors and aliases are not allowed"))
        tag = getattr(event, "tag", None)
        if tag is not None:
            raise LibraryError(Fault(file, line, f"tags are not allowed: {tag}"))
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > MAX_DEPTH:
            raise LibraryError(Fault(file, line, f"nested deeper than {MAX_DEPTH}"))


def _plain(node: yaml.Node, path: Path, lines: dict[Path, int], file: str) -> object:
    lines.setdefault(path, _line(node.start_mark))
    if isinstance(node, yaml.ScalarNode):
        return _scalar(node)
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, path, lines, file)
    return tuple(_plain(item, (*path, place), lines, file) for place, item in enumerate(node.value))


def _mapping(node: yaml.MappingNode, path: Path, lines: dict[Path, int], file: str) -> dict[str, object]:
    content: dict[str, object] = {}
    for key_node, value_node in node.value:
        key, line = key_node.value, _line(key_node.start_mark)
        if not isinstance(key, str):
            raise LibraryError(Fault(file, line, "a key has to be a word"))
        if key in content:
            raise LibraryError(Fault(file, line, f"key {key!r} is doubled"))
        lines[*path, key] = line
        content[key] = _plain(value_node, (*path, key), lines, file)
    return content


def _scalar(node: yaml.ScalarNode) -> str | int | float | bool | None:
    text: str = node.value
    if node.style is not None:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if not _NUMBER.fullmatch(text):
        return text
    return float(text) if "." in text else int(text)
