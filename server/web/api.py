"""The description of what other programs may ask for. Like all the rest, for those who are signed in."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from server.web.visitor import Signed

router = APIRouter()


@router.get("/openapi.json")
def show_description(request: Request, visitor: Signed) -> JSONResponse:
    return JSONResponse(request.app.openapi())
