"""Every knob, with its default and why. Each is read from CORNERBOOK_<NAME>, an argument wins over it."""

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import Field, dataclass, field, fields
from pathlib import Path
from typing import Any, Self

PREFIX = "CORNERBOOK_"


class SettingError(ValueError):
    """A knob is set to something it cannot be. `str()` is the sentence to print."""


def own_data_folder(name: str) -> Path:
    """Where this system keeps a person's application data, and in it a folder of that name."""
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local")) / name
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / name
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / name


def hours(text: str) -> float:
    number = float(text)
    if not 0 < number <= 24 * 365:
        raise ValueError(text)
    return number


def listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip().lower() for part in text.split(",") if part.strip())


def whole(low: int, high: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        number = int(text)
        if not low <= number <= high:
            raise ValueError(text)
        return number

    read.__doc__ = f"a whole number from {low} to {high}"
    return read


hours.__doc__ = "a number of hours above 0"
listed.__doc__ = "names separated by commas"


def knob(default: Any, why: str, read: Callable[[str], Any]) -> Any:
    return field(default=default, metadata={"why": why, "read": read})


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    data: Path  # the folder of all the shop's data; no default here, the command picks one
    host: str = knob("0.0.0.0", "the address listened on; all of them, so that phones get in", str)  # noqa: S104
    port: int = knob(8765, "the port listened on; above 1024 needs no special rights", whole(0, 65535))
    allowed_hosts: tuple[str, ...] = knob(
        (), "further names this server is called by, besides its addresses, host name and localhost", listed
    )
    session_idle_h: float = knob(
        4.0, "hours without a tap until a phone is signed out: outlasts lunch", hours
    )
    session_longest_h: float = knob(16.0, "hours until a phone is signed out anyway; one working day", hours)
    pin_passes: int = knob(3, "argon2id passes over the memory for one PIN", whole(1, 20))
    pin_memory_KiB: int = knob(65536, "argon2id memory for one PIN; two at a time", whole(8, 2**20))
    form_bytes: int = knob(64 * 1024, "most bytes of a form without photo", whole(1024, 2**20))
    form_fields: int = knob(100, "most fields of a form", whole(10, 1000))
    photo_bytes: int = knob(25 * 2**20, "most bytes of one photo as the phone took it", whole(2**16, 2**28))
    body_idle_s: int = knob(20, "seconds without a byte until a sending phone is given up", whole(1, 600))

    @classmethod
    def from_environment(cls, environ: Mapping[str, str], **arguments: Any) -> Self:
        """What the environment says, overruled by those arguments that are not None.

        raises  SettingError
        """
        set_ones = [knob for knob in knobs() if variable(knob) in environ]
        said = {knob.name: _read(knob, environ[variable(knob)]) for knob in set_ones}
        return cls(**said | {name: value for name, value in arguments.items() if value is not None})


def knobs() -> tuple[Field[Any], ...]:
    """All but the data folder, which the command reads itself."""
    return tuple(knob for knob in fields(Settings) if "read" in knob.metadata)


def variable(knob: Field[Any]) -> str:
    return PREFIX + knob.name.upper()


def _read(knob: Field[Any], text: str) -> Any:
    read = knob.metadata["read"]
    try:
        return read(text)
    except (ValueError, OverflowError) as error:
        raise SettingError(f"{variable(knob)} should be {read.__doc__}, not {text!r}.") from error
