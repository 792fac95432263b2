"""A vehicle's spec sheet as its page shows it: every line, who wrote it when, and what it was before."""

from collections.abc import Iterable, Set
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from server.compute.unit import Quantity
from server.procedure.model import FrontEnd
from server.shop.move import Rung
from server.shop.refusal import Conflict, Refusal
from server.shop.row import known
from server.shop.spec import SpecLine, Written, lines_for, sheet, write_line, written
from server.store.tables import Person, Spec, Step, Vehicle


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line, with what stands on it and what stood before, newest first."""

    line: SpecLine
    written: tuple[Written, ...]
    needed: bool  # a torque that the job at hand asks for

    @property
    def standing(self) -> Written | None:
        """What stands on it now."""
        return self.written[0] if self.written else None

    @property
    def wants_proposal(self) -> bool:
        """Whether it is a torque without a maker's value."""
        is_torque = self.line.quantity is Quantity.TORQUE
        return is_torque and (self.standing is None or self.standing.spec.generic)


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed for a line that was empty."""

    line: SpecLine
    text: str
    confirmed: bool


class SheetRefused(Refusal):
    """Some of the lines cannot be written, so none was; why, by key."""

    def __init__(self, by_key: dict[str, Refusal]) -> None:
        how_many = f"{len(by_key)} lines are" if len(by_key) > 1 else "One line is"
        super().__init__(f"{how_many} not right yet. Nothing was written.")
        self.by_key = by_key


def spec_sheet(
    db: Session, vehicle: Vehicle, front_end: FrontEnd, steps: Iterable[Step] = ()
) -> list[SheetLine]:
    """Every line the sheet can have. `steps` are those of the job at hand, if there is one."""
    return sheet_lines(db, vehicle, lines_for(front_end), torques_needed(steps, front_end))


def sheet_lines(
    db: Session, vehicle: Vehicle, lines: Iterable[SpecLine], needed: Set[str] = frozenset()
) -> list[SheetLine]:
    """These lines; `needed` are the keys of those that the job at hand asks for."""
    made = written(db, known(vehicle.id))
    return [SheetLine(line, tuple(made.get(line.key, ())), line.key in needed) for line in lines]


def sheet_line(db: Session, vehicle: Vehicle, line: SpecLine) -> SheetLine:
    """One line alone."""
    return SheetLine(line, tuple(written(db, known(vehicle.id)).get(line.key, ())), needed=False)


def thread_of(front_end: FrontEnd, key: str) -> str:
    """The usual thread of the fastener that a torque line is about, "" for any other line."""
    return next((one.thread for one in front_end.fasteners if one.torque == key), "")


def torques_needed(steps: Iterable[Step], front_end: FrontEnd) -> set[str]:
    """The torque lines that these steps ask for."""
    return {
        front_end.fastener(act.fastener).torque
        for step in steps
        for act in Rung.of(front_end, step).move.fasteners
        if act.act == "torque"
    }


def torques_missing(db: Session, vehicle: Vehicle, front_end: FrontEnd, steps: Iterable[Step]) -> int:
    """How many torques the job asks for that nobody has written yet."""
    return len(torques_needed(steps, front_end) - set(sheet(db, known(vehicle.id))))


def write_lines(
    db: Session,
    vehicle: Vehicle,
    typed: Iterable[Typed],
    *,
    client_id: str,
    source: str,
    by: Person,
    now: datetime,
) -> list[Spec]:
    """Write several empty lines from one source: all of them or none.

    raises  SheetRefused with all that is wrong; Refusal, field "source", or where nothing was typed
    """
    filled = [one for one in typed if one.text.strip()]
    if not filled:
        raise Refusal("No line has a value yet.")
    specs, refused = [], dict[str, Refusal]()
    for number, one in enumerate(filled):
        try:
            specs.append(
                write_line(
                    db,
                    vehicle,
                    one.line,
                    client_id=f"{client_id}.{number}",
                    text=one.text,
                    source=source,
                    generic=False,
                    confirmed=one.confirmed,
                    by=by,
                    now=now,
                )
            )
        except Conflict:
            raise
        except Refusal as refusal:
            if refusal.field != "text":
                raise
            refused[one.line.key] = refusal
    if refused:
        raise SheetRefused(refused)
    return specs
