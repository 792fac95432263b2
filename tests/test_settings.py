from pathlib import Path

import pytest

from server.settings import SettingError, Settings, knobs, own_data_folder, variable

DATA = Path("/data")


def test_without_anything_said_every_knob_has_its_default() -> None:
    assert Settings.from_environment({}, data=DATA) == Settings(data=DATA)


def test_the_environment_turns_a_knob_and_an_argument_wins_over_it() -> None:
    environ = {"CORNERBOOK_PORT": "9000", "CORNERBOOK_HOST": "127.0.0.1"}

    settings = Settings.from_environment(environ, data=DATA, port=9001, host=None)

    assert (settings.port, settings.host) == (9001, "127.0.0.1")


def test_names_are_listed_with_commas() -> None:
    environ = {"CORNERBOOK_ALLOWED_HOSTS": " Bay.Lan, bay:8080 ,,"}

    assert Settings.from_environment(environ, data=DATA).allowed_hosts == ("bay.lan", "bay:8080")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        *(("PORT", text) for text in ("abc", "", "-1", "65536", "8765.0", "1e3")),
        *(("SESSION_IDLE_H", text) for text in ("0", "-1", "nan", "inf", "four")),
        *(("PIN_MEMORY_KIB", text) for text in ("7", "99999999")),
    ],
)
def test_a_knob_turned_too_far_is_refused_by_its_name(name: str, text: str) -> None:
    with pytest.raises(SettingError, match=f"CORNERBOOK_{name} should be a "):
        Settings.from_environment({f"CORNERBOOK_{name}": text}, data=DATA)


def test_every_knob_says_why_and_can_be_turned_to_its_own_default() -> None:
    for knob in knobs():
        text = ",".join(knob.default) if isinstance(knob.default, tuple) else str(knob.default)
        turned = Settings.from_environment({variable(knob): text}, data=DATA)

        assert knob.metadata["why"]
        assert getattr(turned, knob.name) == knob.default


def test_the_data_folder_follows_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", "/xdg")
    monkeypatch.setattr("sys.platform", "linux")

    assert own_data_folder("cornerbook") == Path("/xdg/cornerbook")
