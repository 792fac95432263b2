"""Which drawn picture shows a wanted capture, at the figures of its story, and where its pins go."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from seed_demo.picture import (
    bump_stop,
    caliper,
    corner,
    front_bar,
    gauge,
    lettering,
    lower_arm,
    metal,
    nut,
    pack,
    spring,
    stack,
    stand,
    steering_wheel,
    stud,
    tie_rod,
    upper_arm,
)
from seed_demo.picture.light import photograph
from seed_demo.picture.sheet import Colour, Sheet
from seed_demo.story import Pin, Story
from server.compute import measure
from server.compute.unit import Quantity
from server.procedure.model import Wanted

SHIMS_mm = {"inch": (3.175, 1.5875, 0.79375), "metric": (3.0, 2.0, 1.0, 0.5)}
PINNED = {
    "ride-height.points": {
        "wheel centre": "Wheel centre: yellow dot on the hub cap",
        "fender edge": "Edge of the fender straight above: white dot",
        "frame": "Frame at the lower arm's pivot: chalk cross",
    },
    "steering-wheel.mark": {"pen line": "Pen line over tape on rim and shroud, road wheels straight"},
    "bar.mark": {"left": "L in white paint, left end", "right": "R in white paint, right end"},
    "tie-rod.clamps": {
        "inner clamp": "Inner clamp: bolt above the sleeve, head up",
        "outer clamp": "Outer clamp: bolt above the sleeve, head up",
    },
    "spring.hooks": {
        "upper hook at 12": "Upper hook: coil 1, 12 o'clock, yellow paint",
        "upper hook at 6": "Upper hook: coil 1 1/2, 6 o'clock, yellow paint",
        "lower hook at 12": "Lower hook: coil 6, 12 o'clock, yellow paint",
        "lower hook at 6": "Lower hook: coil 6 1/2, 6 o'clock, yellow paint",
    },
    "upper-arm.mark": {
        "front": "F: front leg, white paint",
        "outside": "OUT: this face outwards, white paint",
    },
}


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo and where its named spots are."""

    jpeg: bytes
    spots: dict[str, tuple[float, float]]


@cache
def shot(draw: Callable[..., Sheet], *scene: Any, lamp: int = 0, **details: Any) -> Shot:
    """A scene drawn and photographed once, however often it is asked for."""
    sheet = draw(*scene, **details)
    return Shot(photograph(sheet.picture, lamp=lamp), sheet.spots)


@dataclass
class Album:
    """What there is to be seen of one car."""

    story: Story
    paint: Colour
    hung: dict[tuple[str, str], int]  # (part, place) -> number of its tag
    going: str = "down"  # which of a story's figures are in the picture: those of down, bench or up
    renewed: frozenset[str] = field(default_factory=frozenset)  # parts that are new from the bench on

    def photo(self, wanted: Wanted, place: str) -> bytes:
        """What a photo of a wanted capture shows, as JPEG."""
        return self._shot(wanted.id, place).jpeg

    def pins(self, wanted: Wanted, place: str) -> Sequence[Pin]:
        """The marks on that photo."""
        spots = self._shot(wanted.id, place).spots
        return [Pin(*spots[name], words) for name, words in PINNED[wanted.id].items()]

    def _shot(self, wanted_id: str, place: str) -> Shot:
        right = place == "RF"
        match wanted_id:
            case "corner.photo" | "ride-height.points":
                height = self._mm("ride-height", place)
                tilt = 1.2 if right else -0.8
                return shot(corner.draw, height, self.paint, inches=self._inches, right=right, tilt_deg=tilt)
            case "steering-wheel.mark":
                return shot(steering_wheel.draw, tilt_deg=2.0)
            case "support.photo":
                return shot(stand.draw, tilt_deg=-1.0, lamp=2)
            case "link.stack":
                return shot(stack.draw, stack.LINK, tilt_deg=2.0)
            case "shock.stack":
                return shot(stack.draw, stack.SHOCK, tilt_deg=-3.0, lamp=1)
            case "bar.mark":
                return shot(front_bar.marked, tilt_deg=2.0, lamp=1)
            case "bar.split-faces":
                return shot(front_bar.split_face, tilt_deg=-2.0)
            case "tie-rod.photo" | "tie-rod.clamps":
                return self._tie_rod(place)
            case "tie-rod.fitted-photo" | "joint.cotter-photo":
                return shot(nut.draw, tilt_deg=3.0, lamp=1)
            case "caliper.photo":
                return shot(caliper.draw, right=right, tilt_deg=2.0)
            case "compressor.hooks" if self.going == "down":
                return shot(spring.in_car, 300.0, tilt_deg=-2.0, colour=metal.BLACK, lamp=1)
            case "spring.end":
                return shot(spring.in_car, 318.0, tilt_deg=3.0, colour=metal.BLACK)
            case "compressor.hooks" | "spring.hooks":
                return self._spring(place)
            case "lower-arm.photo":
                return shot(lower_arm.draw, heads_forward=True, right=right, tilt_deg=2.0)
            case "upper-joint.side":
                return shot(upper_arm.flange, tilt_deg=4.0, lamp=1)
            case "pack.front.photo" | "pack.rear.photo":
                return self._pack(wanted_id.removesuffix(".photo"), place)
            case "pack.fitted-photo":
                packs = (self._pieces_mm(key, place) for key in ("pack.front", "pack.rear"))
                return shot(upper_arm.packs_in_place, *packs, tilt_deg=1.5)
            case "studs.photo":
                return shot(stud.draw, tilt_deg=-3.0, lamp=1)
            case "upper-arm.mark":
                return shot(upper_arm.marked, right=right, tilt_deg=-3.0)
            case "bump-stop.photo":
                return shot(bump_stop.draw, right=right, tilt_deg=2.0)
            case "inspect.photo":
                return self._inspected(place)
        raise KeyError(f"nothing is drawn for {wanted_id}")

    def _tie_rod(self, place: str) -> Shot:
        assembly = tie_rod.Assembly(
            length_mm=self._mm("tie-rod.length", place),
            inner_threads=int(self._typed("tie-rod.threads-inner", place)),
            outer_threads=int(self._typed("tie-rod.threads-outer", place)),
            inches=self._inches,
            is_new=self.going != "down" and "tie-rod" in self.renewed,
        )
        tilt = 2.4 if place == "RF" else -2.8
        tag = None if assembly.is_new else self._tag("tie-rod", "Tie-rod assembly", place)
        return shot(_tie_rod, assembly, tag, tilt_deg=tilt, lamp=0 if place == "RF" else 1)

    def _pack(self, key: str, place: str) -> Shot:
        end = key.removeprefix("pack.")
        return shot(
            _pack,
            self._pieces_mm(key, place),
            self._tag(key, f"{end.capitalize()} shim pack", place),
            name=f"{place} {end}",
            inches=self._inches,
            tilt_deg=1.5 if end == "front" else -2.0,
            lamp=2,
        )

    def _spring(self, place: str) -> Shot:
        colour = (52, 62, 84) if self.going != "down" and "spring" in self.renewed else metal.BLACK
        length = self._mm("spring.compressed-length", place)
        tilt = 1.6 if place == "RF" else -2.0
        return shot(spring.on_bench, length, inches=self._inches, tilt_deg=tilt, colour=colour, lamp=2)

    def _inspected(self, place: str) -> Shot:
        """The disc's run-out on the dial; of the bar, what is worn on it."""
        if place not in ("LF", "RF"):
            return shot(front_bar.split_face, tilt_deg=-2.0)
        mark, unit = (0.0254, "0.001 in") if self._inches else (0.01, "0.01 mm")
        reading = round(self._mm("disc.run-out", place) / mark)
        return shot(gauge.draw, reading, unit=unit, tilt_deg=-4.0)

    def _pieces_mm(self, key: str, place: str) -> tuple[float, ...]:
        """A pack's shims: as many of the thickest as fit, then of the next."""
        left, pieces = self._mm(key, place), []
        for thickness in SHIMS_mm[self.story.system]:
            while left > thickness - 0.01:
                pieces.append(thickness)
                left -= thickness
        return tuple(pieces)

    def _tag(self, part: str, name: str, place: str) -> tuple[int, str, str]:
        return self.hung[part, place], name, place

    @property
    def _inches(self) -> bool:
        return self.story.system == "inch"

    def _typed(self, key: str, place: str) -> str:
        figures = self.story.figures
        going = figures.get((f"{key}@{self.going}", place))
        return going or figures.get((key, place)) or figures[key, ""]

    def _mm(self, key: str, place: str) -> float:
        read = measure.read(self._typed(key, place), Quantity.LENGTH, default_unit="mm")
        return round(read.value * 1000, 4)


def _card(tag: tuple[int, str, str]) -> Any:
    number, name, place = tag
    return lettering.tag(number, (name, place), f"Tag {number}: {name}, {place}")


def _tie_rod(assembly: tie_rod.Assembly, tag: tuple[int, str, str] | None, *, tilt_deg: float) -> Sheet:
    return tie_rod.draw(assembly, tilt_deg=tilt_deg, tag=_card(tag) if tag else None)


def _pack(pieces_mm: tuple[float, ...], tag: tuple[int, str, str], **details: Any) -> Sheet:
    return pack.draw(pieces_mm, tag=_card(tag), **details)
