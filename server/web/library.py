"""The procedure library, read once when the server starts."""

from typing import Annotated, cast

from fastapi import Depends, Request

from server.procedure.model import FrontEnd


async def the_library(request: Request) -> dict[str, FrontEnd]:
    return cast(dict[str, FrontEnd], request.app.state.front_ends)


Library = Annotated[dict[str, FrontEnd], Depends(the_library)]
