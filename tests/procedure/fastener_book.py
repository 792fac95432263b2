"""Keeps account of every fastener as the steps' own words say, whatever the facts say."""

from server.procedure.model import FrontEnd, Move
from server.procedure.plan import PlannedStep

Key = tuple[str, str]


class FastenerBook:
    """Grip, cotter and last condition of each set of fasteners at each place."""

    def __init__(self, front_end: FrontEnd) -> None:
        self.front_end = front_end
        self.condition = "ride_height"  # in which anything is tightened now
        self.grip: dict[Key, str] = {}
        self.torqued_at: dict[Key, str] = {}
        self.cotter: dict[Key, str] = {}

    def write(self, step: PlannedStep, move: Move) -> None:
        for act in move.fasteners:
            for place in ("LF", "RF") if self._is_of_both(act.fastener, step) else (step.place,):
                self._act((act.fastener, place), act.act)
        condition = {("support", "down"): "air", ("support", "up"): "floor", ("settle", "up"): "ride_height"}
        self.condition = condition.get((step.operation, step.direction), self.condition)

    def _is_of_both(self, fastener: str, step: PlannedStep) -> bool:
        return step.place == "car" and fastener == "sleeve-clamp-bolt"

    def _act(self, key: Key, act: str) -> None:
        kind, grip = self.front_end.fastener(key[0]), self.grip.get(key, "torqued")
        cotter = self.cotter.get(key, "old" if kind.cotter else "none")
        match act:
            case "uncotter":
                assert cotter == "old", key
                self.cotter[key] = "out"
            case "cotter":
                assert (cotter, grip) == ("out", "torqued"), key
                self.cotter[key] = "new"
            case "loosen" | "back off" | "off":
                assert cotter in ("out", "none"), key
                self.grip[key] = "off" if act == "off" else "loose"
            case "hand":
                assert grip in ("off", "loose"), key
                self.grip[key] = "loose"
            case "snug":
                assert grip in ("off", "loose"), key
                self.grip[key] = "snug"
            case "torque":
                self.grip[key], self.torqued_at[key] = "torqued", self.condition

    def open_ends(self) -> list[str]:
        """Fasteners that were touched and are not tight, cottered and torqued in their own condition."""
        found = [f"{key} {grip}" for key, grip in self.grip.items() if grip != "torqued"]
        found += [f"{key} without cotter" for key, cotter in self.cotter.items() if cotter == "out"]
        for (name, place), condition in self.torqued_at.items():
            due = self.front_end.fastener(name).final_at
            if condition != due and not (due == "floor" and condition == "ride_height"):
                found.append(f"{name} at {place} torqued in {condition}, not {due}")
        return found
