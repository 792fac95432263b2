"""The handover sheet: what leaves with the car, on paper or on a screen."""

from fastapi import APIRouter, Response

from server.shop.decision import VERDICTS
from server.shop.handover import handover
from server.shop.job import SIDES
from server.web.car import Here

router = APIRouter()


@router.get("/jobs/{job_id}/handover")
def show_handover(here: Here) -> Response:
    with here.store.reading() as db:
        car = here.car(db)
        sheet = handover(db, car.job, here.library, system=here.visitor.system)
    return here.page("handover/show.html", car=car, sheet=sheet, sides=SIDES, verdicts=VERDICTS)
