"""Photos, for those who are signed in."""

from fastapi import APIRouter
from fastapi.responses import Response

from server.shop.capture import is_photo_of
from server.shop.refusal import Missing
from server.store.photo import NoSuchPhoto, SizeName
from server.web.visitor import Photos, Signed, Store

router = APIRouter()

ALIKE_FOR_EVER = "private, max-age=31536000, immutable"  # the address is the content's own digest


@router.get("/photos/{digest}/{size}")
def show_photo(digest: str, size: SizeName, visitor: Signed, store: Store, photos: Photos) -> Response:
    with store.reading() as db:
        if not is_photo_of(db, digest, shop_id=visitor.shop_id):
            raise Missing("There is no such photo here.")
    try:
        with photos.open(digest, size) as copy:
            body = copy.read()
    except NoSuchPhoto as error:
        raise Missing("There is no such photo here.") from error
    headers = {"Cache-Control": ALIKE_FOR_EVER, "Content-Security-Policy": "default-src 'none'; sandbox"}
    return Response(body, media_type="image/jpeg", headers=headers)
