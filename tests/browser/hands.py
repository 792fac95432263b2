"""The hands of the people at the car: what they do on the pages, by what the pages show them."""

from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Locator, Page

from tests.shop.conftest import FIGURES, grey_picture

FOREMAN = ("Ilse Marten", "482913")
TECHNICIAN = ("Tom Okafor", "739105")
SECOND = ("Nadia Brandt", "618204")


@dataclass
class Hands:
    """Somebody with a phone."""

    page: Page
    address: str
    photo: Path

    def go(self, path: str) -> None:
        self.page.goto(self.address + path)

    def press(self, name: str) -> None:
        """Press a button that leads to a page of its own."""
        with self.page.expect_navigation():
            self.page.get_by_role("button", name=name, exact=True).first.click()

    def set_up(self, code: str) -> None:
        """First start: the shop, its bay, its people."""
        self.go("/")
        self.fill(code=code, shop="Anvil Lane Garage", name=FOREMAN[0], pin=FOREMAN[1], pin_again=FOREMAN[1])
        self.page.get_by_text("inch", exact=False).first.click()
        self.press("Set up and go on to the bays")
        self.page.locator("[name=name]").first.fill("Bay 1")
        self.press("Add bays")
        for name, pin in (TECHNICIAN, SECOND):
            self.go("/people")
            self.fill(name=name, pin=pin, pin_again=pin)
            self.page.locator("[name=role][value=technician]").check(force=True)
            self.press("Add")

    def sign_in(self, name: str, pin: str) -> None:
        self.go("/sign-in")
        self.fill(name=name, pin=pin)
        self.press("Sign in")

    def take_in(self, *scopes: str) -> None:
        """A car comes in; its spec sheet is filled from the manual."""
        self.go("/jobs/new")
        self.fill(make="Corvane", model="Tarnlight", year="1968", plate="KX 61 LAM")
        for name, value in (("drive", "LHD"), ("front_end", "coil-on-lower-arm"), ("sides", "both")):
            self.page.locator(f"[name={name}][value={value}]").check(force=True)
        self.page.locator("select[name=bay]").select_option(label="Bay 1")
        for scope in scopes:
            self.page.locator(f"[name=scopes][value={scope}]").check(force=True)
        self.press("Take it in")

    def fill_spec_sheet(self) -> None:
        """Every torque, and what the spring's energy needs."""
        self.page.get_by_role("link", name="Spec sheet").first.click()
        self.page.get_by_label("Where the values come from").fill("Maker's manual, p. 3-12")
        lines = {
            "spring.rate": "350 lbf/in",
            "spring.free-length": "15 1/4 in",
            "spring.solid-length": "6 in",
            "compressor.rating": "3500 lbf",
            "tie-rod.pitch": "1.411 mm",
            "camber": "0.5° ± 0.5°",
            "toe.total": "+1/16 in to +3/16 in",
        }
        for line in self.page.locator("div.spec").all():
            key = (line.get_attribute("id") or "").removeprefix("line-")
            text = "60 to 75 lbf·ft" if key.startswith("torque.") else lines.get(key)
            if text:
                line.locator("[name=text]").fill(text)
        self.press("Save what is filled in")
        assert not self.page.locator(".field__error").count(), self.page.locator(
            ".field__error"
        ).all_inner_texts()

    def work_through(self, until: str = "release") -> list[str]:
        """Step after step, as the page leads on; the operations done, in order."""
        done = []
        while True:
            title = self.page.title().split(" · ")[0]
            if self.page.locator("#dock a", has_text="Loose ends and release").count():
                return done
            done.append(title)
            self.do_step()
            with self.page.expect_navigation():
                self.page.locator("#dock a.button--primary").click()

    def do_step(self) -> None:
        """Start a step, take all it asks for, and say that it is done."""
        if self.page.locator("#dock").get_by_role("button", name="Start").count():
            self.press("Start")
        self.confirm()
        for item in self._wanted("#captures"):
            self.capture(item)
        for item in self._wanted("#decisions"):
            self.decide(item)
        self.tighten()
        for box in self.page.locator("[name=put_back]").all():
            box.check(force=True)
        self.press("Done")
        self.confirm()
        assert self.page.locator("#state").inner_text().startswith("DONE"), self.page.locator(
            "main"
        ).inner_text()

    def confirm(self) -> None:
        """Confirm a hold point in one's own name."""
        if self.page.locator(".hold button").count():
            with self.page.expect_navigation():
                self.page.locator(".hold button").first.click()

    def capture(self, at: str) -> None:
        """Whatever that item asks for."""
        item = self.page.locator(at)
        key, _, place = at.removeprefix("#item-").rpartition("-")
        if item.locator("input[type=file]").count():
            with self._swapped(item):
                item.locator("input[type=file]").set_input_files(self.photo)
            if "item--wanted" in (item.get_attribute("class") or ""):
                self.mark(item)
        elif item.locator("input[type=radio]").count():
            item.locator("input[type=radio]").first.check(force=True)
            self._send(item, "Keep it")
        else:
            item.locator("[name=text]").first.fill(
                typed(key, place, self.page.locator(".where").inner_text())
            )
            self._send(item, "Keep it")

    def mark(self, item: Locator) -> None:
        """Tap the photo where the metal was marked."""
        form = item.locator("form[action$='/marks']")
        form.locator("[name=text]").fill("paint line across both, white")
        form.locator("input[type=image]").click()
        self._send(item, "Keep the mark")

    def decide(self, at: str) -> None:
        """Renew the tie rod; everything else goes back."""
        item = self.page.locator(at)
        if item.locator("details").get_attribute("open") is None:
            item.locator("summary").click()
        verdict = "renew" if at == "#decision-tie-rod" else "reuse"
        item.locator(f"[name=verdict][value='{verdict}']").check(force=True)
        item.locator("[name=reason]").fill("boot torn" if verdict == "renew" else "no play, no cracks")
        item.locator("input[type=file]").set_input_files(self.photo)
        self._send(item, "Decide")

    def tighten(self) -> None:
        """Pull every torque, pin every nut; the second person looks at what is safety-critical."""
        for at in self._ids("#torque"):
            item = self.page.locator(at)
            while "item--wanted" in (item.get_attribute("class") or ""):
                if item.get_by_role("button", name="New cotter in, ends bent").count():
                    self._send(item, "New cotter in, ends bent")
                    continue
                low = item.locator(".pull__setting").inner_text().split()[0]
                item.locator("form[action$='/torques'] [name=text]").fill(str(float(low) + 2))
                if item.locator("[name=paint]").count():
                    item.locator("[name=paint]").check(force=True)
                self._send(item, "Pulled")
        for at in self._ids("#torque"):
            item = self.page.locator(at)
            if item.locator("select[name=person]").count():
                item.locator("summary", has_text="A second person looks at it").click()
                item.locator("select[name=person]").select_option(label=SECOND[0])
                item.locator("[name=pin]").fill(SECOND[1])
                self._send(item, "Verified")

    def discard_renewed(self) -> None:
        """Throw away the old parts whose successors are on the car."""
        self.go("/jobs/1/tags")
        while self.page.get_by_role("button", name="Discard the old part", include_hidden=True).count():
            self.page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
            item = self.page.locator(
                "[id^=tag-]", has=self.page.get_by_role("button", name="Discard the old part")
            )
            self._send(item.last, "Discard the old part")

    def fill(self, **fields: str) -> None:
        for name, text in fields.items():
            self.page.locator(f"main [name={name}]").first.fill(text)

    def _send(self, item: Locator, button: str) -> None:
        """Press a button whose answer takes the item's place."""
        with self._swapped(item):
            item.get_by_role("button", name=button, exact=True).first.click()

    def _swapped(self, item: Locator) -> "Swapped":
        return Swapped(item)

    def _wanted(self, section: str) -> list[str]:
        return [at for at in self._ids(section) if self.page.locator(f"{at}.item--wanted").count()]

    def _ids(self, section: str) -> list[str]:
        return [f"#{each.get_attribute('id')}" for each in self.page.locator(f"{section} > article").all()]


class Swapped:
    """`with Swapped(item)`: until what was there has been taken out of the page."""

    def __init__(self, item: Locator) -> None:
        self._item = item

    def __enter__(self) -> None:
        self._before = self._item.element_handle()

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is None:
            self._item.page.wait_for_function("element => !element.isConnected", arg=self._before)


def typed(key: str, place: str, where: str) -> str:
    """The figure for an item of the page, by the id it has there; one for this direction goes first."""
    figures = {
        name.replace(".", "-"): text
        for (name, where_taken), text in FIGURES.items()
        if where_taken in ("", place)
    }
    after = figures.get(f"{key}@after") if "After" in where else None
    return after or figures.get(key, "as it came")


def picture_file(folder: Path) -> Path:
    path = folder / "photo.jpg"
    path.write_bytes(grey_picture())
    return path
