"""How a handler writes: one block, one receipt, one commit, before anything is shown as saved.

try:
    write(store, visitor, form, "shelf", lambda db: put_on_shelf(db, ...), now=now)
except Refusal as refusal:
    return _page(..., refusal=refusal)
return saved(request, f"/jobs/{job_id}/tags")
"""

from collections.abc import Callable
from datetime import datetime

from sqlmodel import Session

from server.shop.receipt import once
from server.store.crash import crash_point
from server.store.engine import Store
from server.web.form import Fields
from server.web.visitor import Visitor


def write(
    store: Store, visitor: Visitor, form: Fields, kind: str, act: Callable[[Session], str], *, now: datetime
) -> str:
    """Do `act` in a block of its own, once for this form's id; where the result can be seen.

    raises  Refusal, with nothing written
    """
    with store.writing() as db:
        answer = once(
            db,
            lambda: act(db),
            client_id=form.client_id,
            kind=kind,
            content=form.content,
            by=visitor.person,
            now=now,
        )
    crash_point("web: answer: before")
    return answer
