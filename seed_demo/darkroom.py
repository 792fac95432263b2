"""Photos developed and written by a second thread, while the record of them goes on."""

from concurrent.futures import Future, ThreadPoolExecutor
from hashlib import sha256
from types import TracebackType
from typing import BinaryIO, Self

from server.store.photo import PhotoStore, SizeName, Stored
from server.store.picture import upright_size


class Darkroom:
    """A store of photos in front of another. Once the block is left, every photo is in that one."""

    def __init__(self, photos: PhotoStore) -> None:
        self._photos = photos
        self._worker = ThreadPoolExecutor(max_workers=1)
        self._under_way: list[Future[Stored]] = []

    def put(self, received: bytes, *, declared: str | None = None) -> Stored:
        """What will be known of the photo once it is safe."""
        self._under_way.append(self._worker.submit(self._photos.put, received, declared=declared))
        width, height = upright_size(received)
        return Stored(sha256(received).hexdigest(), width, height, len(received))

    def open(self, digest: str, size: SizeName) -> BinaryIO:
        return self._photos.open(digest, size)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, _error: BaseException | None, _at: TracebackType | None
    ) -> None:
        """raises  what storing any of them raised"""
        self._worker.shutdown(cancel_futures=kind is not None)
        if kind is None:
            for photo in self._under_way:
                photo.result()
