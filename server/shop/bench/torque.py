"""Torques: what the wrench is set to, what range is right, in which passes and order."""

from collections.abc import Mapping

from server.compute import wrench
from server.compute.answer import Answer, Known
from server.compute.torque import (
    FIRST_PASS,
    Condition,
    DragRule,
    Window,
    derated_Nm,
    order_in_line,
    order_on_circle,
    stages_Nm,
    window_about,
    window_with_drag,
)
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import Count, Share, a_length, a_torque, an_angle
from server.shop.bench.word import Choice
from server.shop.refusal import Refusal

SUBJECT = "Torque"
STATED = "as-stated"
THREADS = {
    STATED: ("As the maker's figure assumes", Condition.DRY),
    "engine-oil": ("Oiled, and the figure is for dry", Condition.ENGINE_OIL),
    "new-plated": ("New and plated, and the figure is for bare", Condition.NEW_PLATED),
    "into-aluminium": ("Into aluminium, and the figure is for steel", Condition.INTO_ALUMINIUM),
}
RULES = {
    "always": ("Always add it", DragRule.ALWAYS),
    "from-a-third": ("Add it from a third of the torque up", DragRule.FROM_A_THIRD),
}
LAYOUTS = {
    "circle": ("Round a circle", order_on_circle),
    "line": ("Along a line", order_in_line),
}
NO_TOLERANCE = "Ten percent either way is meant only where the maker prints one figure and no tolerance."
ALUMINIUM = "Into aluminium this is the most, not the aim."
_STANDARD = "US Army TM 9-2320-362-14&P, App. F"


def _setting(*, torque: Known, handle: Known, adapter: Known, angle: Known | None) -> Result:
    with beside("adapter"):
        setting = wrench.setting_Nm.answer(
            torque_Nm=torque, handle_m=handle, adapter_m=adapter, angle_rad=angle or 0.0
        )
    return Result(lines=(Line("setting_Nm", "Set the wrench to", setting),))


def _applied(
    *, setting: Known, handle: Known, adapter: Known, angle: Known | None, accuracy: float | None
) -> Result:
    reach: dict[str, Known | float] = {"handle_m": handle, "adapter_m": adapter, "angle_rad": angle or 0.0}
    with beside("adapter"):
        got = wrench.applied_Nm.answer(setting_Nm=setting, **reach)
    lines: tuple[Line, ...] = (Line("torque_Nm", "The fastener got", got),)
    if accuracy is not None:
        off = wrench.reached(got.value, accuracy)
        lines += _ends("torque", "With the wrench's own error", off, "that ± accuracy", "arithmetic")
    return Result(lines=lines)


def _window(
    *,
    torque: Known,
    highest: Known | None,
    threads: str | None,
    drag: Known | None,
    drag_rule: str | None,
    accuracy: float | None,
) -> Result:
    window, how, source = _as_stated(torque, highest)
    window, how, source = _for_threads(window, how, source, threads or STATED)
    window, how, source = _with_drag(window, how, source, drag, drag_rule)
    lines: tuple[Line, ...] = _ends("reading", "The wrench must read", window, how, source)
    if accuracy is not None:
        with beside("accuracy"):
            inside = wrench.settings(window, accuracy)
        lines += _ends(
            "setting", "Set it to", inside, "that range, less the wrench's own error", "arithmetic"
        )
    cautions = (() if highest else (NO_TOLERANCE,)) + ((ALUMINIUM,) if threads == "into-aluminium" else ())
    return Result(lines=lines, big=2, cautions=cautions)


def _as_stated(lowest: Known, highest: Known | None) -> tuple[Window, str, str]:
    """The range on paper, how it comes about, and where from."""
    if highest is None:
        return window_about(lowest.value), "T ± 10 %", _STANDARD
    with beside("highest"):
        return Window(lowest.value, highest.value), "as stated", "the maker's range"


def _for_threads(window: Window, how: str, source: str, threads: str) -> tuple[Window, str, str]:
    condition = THREADS[threads][1]
    if condition is Condition.DRY:
        return window, how, source
    low, high = (derated_Nm(end, condition) for end in (window.lowest_Nm, window.highest_Nm))
    return Window(low, high), f"({how}) · {condition.value:g}", f"{source}; {_STANDARD}"


def _with_drag(
    window: Window, how: str, source: str, drag: Known | None, rule: str | None
) -> tuple[Window, str, str]:
    if drag is None:
        return window, how, source
    if rule is None:
        raise Refusal("Say which of the two the manual goes by.", field="drag_rule")
    meant = RULES[rule][1]
    dragged = window_with_drag(window, drag.value, meant)
    return dragged, how if dragged == window else f"{how} + drag", f"{source}; {meant.value}"


def _ends(key: str, name: str, window: Window, how: str, source: str) -> tuple[Line, Line]:
    """A range as its two ends."""
    return (
        Line(f"{key}_lowest_Nm", f"{name} at least", _given(window.lowest_Nm, how, source)),
        Line(f"{key}_highest_Nm", f"{name} at most", _given(window.highest_Nm, how, source)),
    )


def _given(torque_Nm: float, how: str, source: str) -> Answer:
    return Answer(torque_Nm, 0.0, Quantity.TORQUE, how, source, ())


def _plan(*, torque: Known, count: int, layout: str, first: float | None) -> Result:
    passes = stages_Nm(torque.value, (first, 1.0) if first else None)
    how, source = _passing(len(passes), first)
    lines = tuple(
        Line(f"pass_{n}_Nm", f"Pass {n} of {len(passes)}", _given(one, how, source))
        for n, one in enumerate(passes, start=1)
    )
    says = "Number them as they sit. Each pass goes over all of them in this order." if count > 1 else ""
    return Result(
        lines=lines, big=len(lines), order=LAYOUTS[layout][1](count) if count > 1 else (), says=says
    )


def _passing(passes: int, first: float | None) -> tuple[str, str]:
    """How the passes come about, and where from."""
    if first:
        return f"T · {first:.0%} first", "as stated"
    how = f"T · {FIRST_PASS:.0%} first, above 30 lbf·ft" if passes > 1 else "in one pass"
    return how, "US Army TM 5-3805-248-23-1"


def _options(meanings: Mapping[str, tuple[str, object]]) -> tuple[tuple[str, str], ...]:
    return tuple((value, words) for value, (words, _) in meanings.items())


_REACH = (
    a_length(
        name="handle",
        label="Wrench length",
        example="18.0 in",
        help="From the middle of the grip to the square.",
    ),
    a_length(
        name="adapter",
        label="Adapter length",
        signed=True,
        example="4.0 in",
        help="From the square to the fastener; with a minus if it points back along the wrench.",
    ),
    an_angle(
        name="angle",
        label="Angle between them",
        signed=True,
        needed=False,
        example="0°",
        help="0° straight out, 90° to the side. Empty is straight out.",
    ),
)

CALCULATORS = (
    Calculator(
        name="wrench-setting",
        title="Wrench setting with an adapter",
        subject=SUBJECT,
        lead="A crowfoot or extension changes the reach: what to set so that the fastener gets its torque.",
        fields=(
            a_torque(name="torque", label="Torque for the fastener", example="95 lbf·ft"),
            *_REACH,
        ),
        work=_setting,
    ),
    Calculator(
        name="torque-applied",
        title="What the fastener got",
        subject=SUBJECT,
        lead="A setting, and an adapter nobody reckoned with: the torque that it came to.",
        fields=(
            a_torque(name="setting", label="Setting of the wrench", example="95 lbf·ft"),
            *_REACH,
            Share(name="accuracy", label="Accuracy of the wrench", example="4", needed=False),
        ),
        work=_applied,
    ),
    Calculator(
        name="torque-range",
        title="Range for a torque",
        subject=SUBJECT,
        lead="What the wrench has to read for the manual's figure, and a setting that is sure to land there.",
        fields=(
            a_torque(name="torque", label="Torque, or the lower end of its range", example="95 lbf·ft"),
            a_torque(
                name="highest",
                label="Upper end",
                example="105 lbf·ft",
                help="If the manual prints one.",
                needed=False,
            ),
            Choice(
                name="threads",
                label="Threads",
                options=_options(THREADS),
                start=STATED,
                example=STATED,
                needed=False,
            ),
            a_torque(
                name="drag",
                label="Drag of the nut",
                example="12 lbf·ft",
                help="What turns a locking nut while it still runs free.",
                needed=False,
            ),
            Choice(
                name="drag_rule",
                label="What the manual does with drag",
                options=_options(RULES),
                example="always",
                needed=False,
            ),
            Share(name="accuracy", label="Accuracy of the wrench", example="4", needed=False),
        ),
        work=_window,
    ),
    Calculator(
        name="tightening-plan",
        title="Passes and order",
        subject=SUBJECT,
        lead="Several fasteners on one part: how far in each pass, and which after which.",
        fields=(
            a_torque(name="torque", label="Final torque", example="95 lbf·ft"),
            Count(name="count", label="How many fasteners", most=40, example="5"),
            Choice(name="layout", label="They sit", options=_options(LAYOUTS), example="circle"),
            Share(
                name="first",
                label="First pass",
                example="50",
                help="Of the final torque, if the manual says. Empty is 70 % above 30 lbf·ft.",
                needed=False,
                most=0.95,
            ),
        ),
        work=_plan,
    ),
)
