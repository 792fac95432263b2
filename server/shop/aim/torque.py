"""The torques of the fasteners that the job tightens."""

from collections.abc import Iterator
from dataclasses import replace

from server.compute.show import System
from server.procedure.model import FrontEnd
from server.shop.aim.aim import Aim, from_sheet
from server.shop.evidence import Evidence


def torque_aims(evidence: Evidence, front_end: FrontEnd, system: System) -> Iterator[Aim]:
    for fastener in front_end.fasteners:
        if fastener.id not in evidence.tightened:
            continue
        line = evidence.spec(fastener.torque)
        if line is None:
            says = f"{fastener.name}: the spec sheet has no torque for it."
            yield Aim(fastener.torque, "car", says, missing=(fastener.torque,))
            continue
        aim = from_sheet(fastener.torque, "car", line, system)
        generic = " A generic value, not the maker's: a foreman has to agree." if line.generic else ""
        yield replace(aim, says=f"{fastener.name}: {aim.says}{generic}")
