"""Moments and spans of time as the pages write them: in the shop's own time, which is the server's."""

from datetime import datetime, timedelta

from jinja2 import pass_context
from jinja2.runtime import Context


@pass_context
def when(context: Context, moment: datetime) -> str:
    """A moment on this page."""
    return at_the_clock(moment, now=context["now"])


@pass_context
def age(context: Context, moment: datetime) -> str:
    """How long ago a moment was when this page was made."""
    return how_long(context["now"] - moment)


def stamp(moment: datetime) -> str:
    """2026-11-25T14:32:00+00:00"""
    return moment.isoformat(timespec="seconds")


def at_the_clock(moment: datetime, *, now: datetime) -> str:
    """Tue 25 Nov 14:32, with the year if it is not this one."""
    local, here = moment.astimezone(), now.astimezone()
    day = f"{local:%a} {local.day} {local:%b}" + (f" {local.year}" if local.year != here.year else "")
    return f"{day} {local:%H:%M}"


def how_long(time: timedelta) -> str:
    """34 min, 2 h 10 min, 3 d; never less than nothing, even if a clock was put back."""
    minutes = max(0, int(time.total_seconds() // 60))
    hours, days = minutes // 60, minutes // 1440
    if minutes < 60:
        return f"{minutes} min"
    if hours < 10:
        return f"{hours} h {minutes % 60} min" if minutes % 60 else f"{hours} h"
    return f"{hours} h" if days < 2 else f"{days} d"
