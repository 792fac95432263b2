"""What is invented of one job: its figures, words, verdicts, and where its parts lie."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from server.compute.show import System
from server.procedure.model import Wanted


@dataclass(frozen=True, slots=True)
class Pin:
    """A mark on a photo, in fractions of its width and height; without words it says those of the story."""

    x: float = 0.5
    y: float = 0.45
    words: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What becomes of a part, why, and the wanted capture that shows it, if it is a certain one."""

    verdict: str
    reason: str
    evidence: str = ""


SOUND = Verdict("reuse", "no play, no cracks")


@dataclass
class Story:
    """The invented figures and words of one job. Place "" fits everywhere."""

    figures: Mapping[tuple[str, str], str]  # (wanted id, place) -> as typed; `id@direction` goes before `id`
    words: Mapping[str, str]  # wanted id -> note or mark
    verdicts: Mapping[tuple[str, str], Verdict] = field(default_factory=dict)  # (part, place) -> what becomes
    shelves: Mapping[str, str] = field(default_factory=dict)  # place -> where its parts lie
    system: System = "inch"

    def typed(self, wanted: Wanted, place: str, direction: str) -> str:
        """What is typed for a wanted figure, the one of this direction before the general one."""
        for key in ((f"{wanted.id}@{direction}", place), (wanted.id, place), (wanted.id, "")):
            if key in self.figures:
                return self.figures[key]
        raise KeyError(f"no figure for {wanted.id} at {place}, {direction}")

    def has(self, wanted: Wanted, place: str, direction: str) -> bool:
        """Whether there is a figure meant for just this place."""
        return any((key, place) in self.figures for key in (wanted.id, f"{wanted.id}@{direction}"))

    def verdict(self, part: str, place: str) -> Verdict:
        """What becomes of a part; sound, where nothing else is said."""
        return self.verdicts.get((part, place)) or self.verdicts.get((part, "")) or SOUND
