"""An invented shop in the middle of its week: three cars half apart, one that has left."""

from datetime import datetime, timedelta

from seed_demo import bench, mid_strip, people, refit, released
from seed_demo.darkroom import Darkroom
from seed_demo.hours import Hours
from seed_demo.stage import Stage
from server.procedure.load import front_ends
from server.settings import Settings
from server.shop.shop import the_shop
from server.store.engine import Store
from server.store.photo import PhotoStore
from server.store.refused import StoreRefused

FOUNDED_AGO = timedelta(days=60)
STORIES = (released, refit, bench, mid_strip)  # in the order in which the cars came in


def seed(store: Store, photos: PhotoStore, settings: Settings, now: datetime) -> list[tuple[str, str, str]]:
    """Invent the shop in an empty store.

    returns  name, role and PIN of everyone who can sign in
    raises   StoreRefused where there is a shop already
    """
    with store.reading() as db:
        if the_shop(db) is not None:
            raise StoreRefused("There is a shop in this store. The demo only goes into an empty one.")
    crew = people.found(store, settings, now=now - FOUNDED_AGO)
    with Darkroom(photos) as darkroom:
        stage = Stage(store, darkroom, front_ends(), crew, Hours(), now)
        for story in STORIES:
            story.tell(stage)
    return crew.who_can_sign_in
