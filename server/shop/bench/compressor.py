"""The screw of a spring compressor."""

from math import radians

from server.compute.answer import Known
from server.compute.compressor import efficiency, holds_itself, load_N, lower_Nm, raise_Nm
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import a_force, a_length, a_torque
from server.shop.bench.spring import LOADED, SUBJECT
from server.shop.bench.word import Choice

NO_PROOF = "More torque than this is a warning: something binds. Less is no proof of safety."
NO_SCALE = "Friction makes this a guess by a third or so: never a reason to go beyond the rating."
RUNS_BACK = "With little friction this screw turns back by itself: never let go of it under load."
# Middle and half of the range, steel on steel: Shigley Tables 8-5 and 8-6, from memory
FRICTION = {"oiled": ("Oiled", Known(0.14, 0.03)), "dry": ("Dry", Known(0.20, 0.05))}
FLANK_rad = {
    "v": ("V thread, like a bolt's", radians(30)),
    "trapezoidal": ("Trapezoidal", radians(15)),
    "square": ("Square", 0.0),
}


def _screw(
    *, load: Known, mean_diameter: Known, lead: Known, form: str, threads: str, face: Known | None
) -> Result:
    screw, friction = _geometry(mean_diameter, lead, form, threads, face), FRICTION[threads][1]
    with beside("mean_diameter"):
        up, down = raise_Nm.answer(load_N=load, **screw), lower_Nm.answer(load_N=load, **screw)
        holds = holds_itself(
            mean_diameter_m=mean_diameter.value,
            lead_m=lead.value,
            lowest_friction=friction.value - friction.uncertainty,
            flank_rad=FLANK_rad[form][1],
        )
    return Result(
        lines=(Line("raise_Nm", "To press", up), Line("lower_Nm", "To let down", down)),
        verdict="the screw holds by itself" if holds else "the screw may run back",
        says=_taken(threads),
        cautions=(NO_PROOF,) if holds else (RUNS_BACK, NO_PROOF),
    )


def _load(
    *, torque: Known, mean_diameter: Known, lead: Known, form: str, threads: str, face: Known | None
) -> Result:
    screw = _geometry(mean_diameter, lead, form, threads, face)
    load = load_N.answer(torque_Nm=torque, **screw)
    return Result(
        lines=(
            Line("load_N", "It presses with", load),
            Line("efficiency", "Share of the work that gets there", efficiency.answer(**screw)),
        ),
        says=_taken(threads),
        cautions=(NO_SCALE,),
    )


def _geometry(
    mean_diameter: Known, lead: Known, form: str, threads: str, face: Known | None
) -> dict[str, Known | float]:
    friction = FRICTION[threads][1]
    screw: dict[str, Known | float] = {
        "mean_diameter_m": mean_diameter,
        "lead_m": lead,
        "friction": friction,
        "flank_rad": FLANK_rad[form][1],
    }
    if face is not None:
        radius = Known(face.value / 2, face.uncertainty / 2)
        screw |= {"collar_friction": friction, "collar_radius_m": radius}
    return screw


def _taken(threads: str) -> str:
    friction = FRICTION[threads][1]
    return f"Friction is taken as {friction.value:g} ± {friction.uncertainty:g}."


_SCREW = (
    a_length(
        name="mean_diameter",
        label="Thread diameter, half-way up the flanks",
        example="0.68 in",
    ),
    a_length(
        name="lead",
        label="Advance in one turn",
        example="0.100 in",
        help="Ten threads to the inch are 0.1 in; twice that with two starts.",
    ),
    Choice(
        name="form",
        label="Thread form",
        options=tuple((value, words) for value, (words, _) in FLANK_rad.items()),
        example="trapezoidal",
    ),
    Choice(
        name="threads",
        label="The thread is",
        options=tuple((value, words) for value, (words, _) in FRICTION.items()),
        example="oiled",
    ),
    a_length(
        name="face",
        label="Thrust face, middle diameter",
        example="1.1 in",
        help="Where the nut or washer rubs. Empty leaves its friction out.",
        needed=False,
    ),
)

CALCULATORS = (
    Calculator(
        name="compressor-screw",
        title="Torque at the compressor's screw",
        subject=SUBJECT,
        lead="What the screw should take for a load, to notice when something binds.",
        sign=LOADED,
        fields=(
            a_force(name="load", label="Load on the screw", example="1500 lbf"),
            *_SCREW,
        ),
        work=_screw,
    ),
    Calculator(
        name="compressor-load",
        title="Load behind a torque",
        subject=SUBJECT,
        lead="A torque that has just turned the compressor's screw: what it is pressing with, roughly.",
        sign=LOADED,
        fields=(a_torque(name="torque", label="Torque at the screw", example="30 lbf·ft"), *_SCREW),
        work=_load,
    ),
)
