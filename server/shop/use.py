"""Which steps use a target: the bench that sets it, the rung that puts it in, the wrench that pulls it."""

from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd
from server.shop.move import Rung

PLANNED = ("packs", "pre-alignment")
FORECAST = ("camber", "caster", "toe", "likely")


def shows(rung: Rung, *, place: str, key: str, at: str) -> bool:
    """Whether the page of a rung at `place` shows the target of this key at `at`; going down, none.

    A rung on the car goes by both corners' targets. Torques are shown where they are pulled, not here.
    """
    if rung.move is rung.operation.down:
        return False
    places = {place, "car"} | (set(CORNERS) if place == "car" else set())
    subjects = {wanted.id.split(".")[0] for wanted in rung.move.captures} | {rung.operation.id}
    return at in places and key.split(".")[0] in subjects


def rests_on(rung: Rung, front_end: FrontEnd, *, place: str, key: str, at: str) -> bool:
    """Whether what is done at a rung would be done otherwise if that target were another."""
    pulled = (act.fastener for act in rung.move.fasteners if act.act == "torque")
    is_pulled = any(front_end.fastener(one).torque == key for one in pulled)
    return is_pulled or (not is_forecast(key) and shows(rung, place=place, key=key, at=at))


def is_forecast(key: str) -> bool:
    """Whether that target only says what the wheels are to be expected to read."""
    subject, _, what = key.partition(".")
    return subject in PLANNED and what in FORECAST
