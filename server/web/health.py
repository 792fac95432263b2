"""A word for whoever watches the server; it says nothing about the shop."""

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse

router = APIRouter()


@router.get("/health")
def show_health() -> PlainTextResponse:
    return PlainTextResponse("ok\n")
