"""What if the car were lifted, or its packs and tie rods changed: a form whose answer has an address."""

from collections.abc import Mapping

from fastapi import APIRouter, Response

from server.compute.answer import Known
from server.compute.show import System, show, usual_unit
from server.compute.unit import Quantity
from server.procedure.fact import CORNERS
from server.shop.evidence import Evidence, gather
from server.shop.geometry import lacking, layout_of
from server.shop.refusal import Refusal
from server.shop.what_if import FIELDS, QUANTITIES, NotTried, SideAnswer, answers, asked_of, stands_at
from server.web.bench import TWICE
from server.web.car import AtCar, Here
from server.web.guessed import guessed
from server.web.wording import OTHER, Column

router = APIRouter()

BOTH = "both"
SIDES = ((BOTH, "Both sides"), ("LF", "Left front"), ("RF", "Right front"))


@router.get("/jobs/{job_id}/what-if")
def show_what_if(here: Here) -> Response:
    sent = [(key, text) for key, text in here.request.query_params.multi_items() if key in (*FIELDS, "side")]
    typed = {name: dict(sent).get(name, "") for name in (*FIELDS, "side")}
    side = typed["side"] if typed["side"] in CORNERS else BOTH
    with here.store.reading() as db:
        car = here.car(db)
        evidence = gather(db, car.job, here.front_end(car.job))
    found: list[SideAnswer] = []
    doubts: tuple[str, ...] = ()
    wrong: dict[str, str] = {}
    try:
        if len(dict(sent)) < len(sent):
            raise Refusal(TWICE)
        if sent:
            found, doubts = _answer(here, evidence, typed, CORNERS if side == BOTH else (side,))
    except NotTried as refused:
        wrong = {name: one.sentence for name, one in refused.by_field.items()}
    except Refusal as refused:
        wrong = {"": refused.sentence}
    return here.page(
        "what_if/show.html",
        status=422 if wrong else 200,
        car=car,
        lacking=lacking(evidence.specs),
        sides=SIDES,
        side=side,
        typed=typed,
        wrong=wrong,
        units={name: usual_unit(one, here.visitor.system) for name, one in QUANTITIES.items()},
        has_pitch=evidence.spec("tie-rod.pitch") is not None,
        starts={place: stands_at(evidence, place) for place in CORNERS},
        answers=found,
        guessed=_guessed(evidence),
        doubts=doubts,
        shown=shown,
        length=Quantity.LENGTH,
    )


def _guessed(evidence: Evidence) -> str:
    """Which lengths make the ± as wide as it is."""
    layout = layout_of(evidence.specs)
    return guessed(layout) if layout else ""


def shown(known: Known, quantity: Quantity, system: System) -> Column:
    """A figure, its ± and the same in the other units."""
    own, other = (
        show(known.value, quantity, system=one, uncertainty=known.uncertainty or None)
        for one in (system, OTHER[system])
    )
    text, _, spread = own.partition(" ± ")
    second = other.partition(" ± ")[0]
    return Column(text, f"± {spread}" if spread else "", "" if second == text else second)


def _answer(
    here: AtCar, evidence: Evidence, typed: Mapping[str, str], places: tuple[str, ...]
) -> tuple[list[SideAnswer], tuple[str, ...]]:
    """Each side's answer, and what in the form is hard to believe."""
    system = here.visitor.system
    asked = asked_of({name: typed[name] for name in FIELDS}, evidence, system=system)
    return answers(evidence, asked, places, system=system), asked.doubts
