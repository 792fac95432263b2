"""The templates as the application sets them up, without the application."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Environment

from server.web.page import templates
from server.web.wording import FILTERS

Render = Callable[..., str]


@pytest.fixture(scope="session")
def environment() -> Environment:
    environment = templates(str(Path(__file__).parents[2] / "templates"))
    environment.filters.update(FILTERS)
    return environment


@pytest.fixture(scope="session")
def render(environment: Environment) -> Render:
    """render("state", "state", "done", who="Jo"): what that macro of macros/state.html makes."""

    def render(file: str, macro: str, *given: Any, **named: Any) -> str:
        module = environment.get_template(f"macros/{file}.html").module
        return str(getattr(module, macro)(*given, **named))

    return render
