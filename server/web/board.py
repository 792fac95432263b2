"""The board: every bay at a glance, and what has left the shop lately."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from server.shop.board import board
from server.shop.job import find_job, released_jobs
from server.web.library import Library
from server.web.page import page, wants_fragment
from server.web.visitor import Signed, Store

router = APIRouter()

LATELY, A_PAGE = 10, 30

LastSeen = Annotated[int | None, Query(ge=1, le=2**31 - 1)]


@router.get("/")
def show_board(request: Request, visitor: Signed, store: Store, library: Library) -> Response:
    with store.reading() as db:
        rows = board(db, visitor.shop_id, library)
        released = released_jobs(db, visitor.shop_id, at_most=LATELY + 1)
    template = "board/_board.html" if wants_fragment(request) else "board/show.html"
    return page(request, template, rows=rows, released=released[:LATELY], more=len(released) > LATELY)


@router.get("/jobs")
def show_released(request: Request, visitor: Signed, store: Store, before: LastSeen = None) -> Response:
    """Jobs that have been released, page by page, newest first."""
    with store.reading() as db:
        last = find_job(db, before, shop_id=visitor.shop_id) if before else None
        released = released_jobs(db, visitor.shop_id, at_most=A_PAGE + 1, before=last)
    return page(request, "board/released.html", released=released[:A_PAGE], more=len(released) > A_PAGE)
