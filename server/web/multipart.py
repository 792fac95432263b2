"""A multipart body, read strictly: what is not plain UTF-8 is refused, never guessed at."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from python_multipart.exceptions import FormParserError
from python_multipart.multipart import MultipartParser, parse_options_header

if TYPE_CHECKING:  # a name for type checkers only
    from python_multipart.multipart import MultipartCallbacks

LONGEST_HEADER = 2048


@dataclass(slots=True)
class Part:
    """One field: its text, or the bytes of a file with the name that the phone gave it."""

    name: str = ""
    file_name: str | None = None
    body: bytearray = field(default_factory=bytearray)


class Malformed(ValueError):
    """The body is not what its content type says."""


def read(body: bytes, content_type: str, *, most_parts: int) -> list[Part]:
    """raises  Malformed, also where there are too many parts or one is not UTF-8."""
    _, options = parse_options_header(content_type)
    boundary = options.get(b"boundary", b"")
    if not boundary or len(boundary) > 200:
        raise Malformed("no usable boundary")
    collector = _Collector(most_parts)
    try:
        parser = MultipartParser(boundary, collector.callbacks())
        parser.write(body)
        parser.finalize()
    except FormParserError as error:
        raise Malformed(str(error)) from error
    if not collector.is_whole:  # the parser does not mind a body that was cut short
        raise Malformed("no closing boundary")
    return collector.parts


class _Collector:
    """Gathers parts as the parser comes upon them."""

    def __init__(self, most_parts: int) -> None:
        self.parts: list[Part] = []
        self._most_parts = most_parts
        self.is_whole = False
        self._header, self._value, self._disposition = b"", b"", b""

    def callbacks(self) -> "MultipartCallbacks":
        return {
            "on_part_begin": self.part_begin,
            "on_header_field": self.header_field,
            "on_header_value": self.header_value,
            "on_header_end": self.header_end,
            "on_headers_finished": self.headers_finished,
            "on_part_data": self.part_data,
            "on_end": self.end,
        }

    def part_begin(self) -> None:
        if len(self.parts) >= self._most_parts:
            raise Malformed("too many parts")
        self.parts.append(Part())
        self._disposition = b""

    def header_field(self, data: bytes, start: int, end: int) -> None:
        self._header = _joined(self._header, data[start:end])

    def header_value(self, data: bytes, start: int, end: int) -> None:
        self._value = _joined(self._value, data[start:end])

    def header_end(self) -> None:
        if self._header.lower() == b"content-disposition":
            self._disposition = self._value
        self._header, self._value = b"", b""

    def headers_finished(self) -> None:
        _, options = parse_options_header(self._disposition)
        if b"name" not in options:
            raise Malformed("a part without a name")
        part = self.parts[-1]
        part.name = decoded(options[b"name"])
        part.file_name = decoded(options[b"filename"]) if b"filename" in options else None

    def part_data(self, data: bytes, start: int, end: int) -> None:
        self.parts[-1].body += data[start:end]

    def end(self) -> None:
        self.is_whole = True


def decoded(octets: bytes) -> str:
    """raises  Malformed where it is not UTF-8; a lone surrogate is not, either."""
    try:
        return octets.decode("utf-8")
    except UnicodeDecodeError as error:
        raise Malformed("not UTF-8") from error


def _joined(before: bytes, more: bytes) -> bytes:
    if len(before) + len(more) > LONGEST_HEADER:
        raise Malformed("a header too long")
    return before + more
