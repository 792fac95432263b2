"""Sent twice, recorded once: every write carries an id that the phone made before it first sent it."""

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from datetime import datetime

from sqlmodel import Session

from server.shop.refusal import Conflict, Refusal
from server.store.crash import crash_point
from server.store.tables import Person, Receipt

CLIENT_ID = re.compile(r"[A-Za-z0-9_-]{16,64}")


def once(
    db: Session,
    act: Callable[[], str],
    *,
    client_id: str,
    kind: str,
    content: Mapping[str, object],
    by: Person | None,
    now: datetime,
) -> str:
    """Do `act` unless this id has been recorded already; either way, the answer of the first time.

    raises  Refusal where the id is malformed, Conflict where the same id comes with other content
    """
    if not CLIENT_ID.fullmatch(client_id):
        raise Refusal("This page lost track of what it was sending. Open the step again and repeat it.")
    digest = hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()
    before = db.get(Receipt, client_id)
    if before is not None:
        if (before.kind, before.digest) != (kind, digest):
            raise Conflict("Something else was already recorded from this page. Open it again to add more.")
        return before.answer
    answer = act()
    person_id = by.id if by else None
    db.add(Receipt(client_id=client_id, person_id=person_id, kind=kind, digest=digest, answer=answer, at=now))
    db.flush()
    crash_point("shop: receipt row added")
    return answer
