"""Whether a torque wrench will do."""

from datetime import date

from server.compute.answer import Answer, Input, Known
from server.compute.torque import Window
from server.compute.unit import Quantity
from server.compute.wrench import Wrench, fitness, standard_accuracy
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import Share, a_torque
from server.shop.bench.word import Day
from server.shop.refusal import Refusal

STANDARD = "No accuracy given: ±{:.0%} is taken, what ISO 6789 (2003) asks of a setting wrench."


def _fitness(
    *,
    setting: Known,
    least: Known | None,
    most: Known | None,
    lowest: Known,
    full_scale: Known,
    accuracy: float | None,
    calibrated: date | None,
    today: date,
) -> Result:
    share = standard_accuracy(full_scale.value) if accuracy is None else accuracy
    with beside("full_scale"):
        tool = Wrench(lowest.value, full_scale.value, share, calibrated)
    found = fitness(tool, setting.value, today, window=_window(least, most))
    reached = Answer(
        setting.value,
        setting.value * share,
        Quantity.TORQUE,
        "S ± S · accuracy",
        "the wrench's certificate" if accuracy else "ISO 6789 (2003), type II class A",
        (Input("setting", setting.value, "Nm", setting.uncertainty), Input("accuracy", share, "", 0.0)),
    )
    assumed = () if accuracy else (STANDARD.format(share),)
    return Result(
        lines=(Line("reached_Nm", "At this setting it may mean", reached),),
        verdict="fit" if found.fit else "not fit",
        says=" ".join(found.reasons),
        cautions=(*assumed, *found.cautions),
    )


def _window(least: Known | None, most: Known | None) -> Window | None:
    if least is None and most is None:
        return None
    if least is None or most is None:
        raise Refusal("Give both ends of the range, or neither.", field="least" if least is None else "most")
    with beside("most"):
        return Window(least.value, most.value)


CALCULATORS = (
    Calculator(
        name="wrench-fitness",
        title="Will this wrench do?",
        subject="Torque",
        lead="Its range, its accuracy and its calibration against the torque that is due.",
        fields=(
            a_torque(name="setting", label="Setting", example="95 lbf·ft"),
            a_torque(name="least", label="Lowest setting that is right", example="88 lbf·ft", needed=False),
            a_torque(name="most", label="Highest setting that is right", example="105 lbf·ft", needed=False),
            a_torque(name="lowest", label="The wrench's scale begins at", example="30 lbf·ft"),
            a_torque(name="full_scale", label="The wrench's scale ends at", example="150 lbf·ft"),
            Share(
                name="accuracy",
                label="Accuracy",
                example="4",
                help="From its certificate, plus or minus of the reading.",
                needed=False,
            ),
            Day(
                name="calibrated",
                label="Last calibrated",
                example="2026-06-10",
                help="Empty if nobody knows.",
                needed=False,
            ),
            Day(name="today", label="To be used on", example="2026-11-25", offered="today"),
        ),
        work=_fitness,
    ),
)
