"""The command: `cornerbook serve`, `cornerbook demo`."""

import argparse
import os
import sys
from pathlib import Path

from server.settings import SettingError, Settings, knobs, own_data_folder, variable, whole

REFUSED = 2

ABOUT = """
Strip and refit the front suspension of an older car so that it goes back together safely.
A web app for the bay: start it on one machine of the shop, open it on the phones.
"""
KNOBS = "Further knobs are read from the environment:\n"


def main(arguments: list[str] | None = None) -> int:
    """0 when it was stopped, 2 with one sentence when it could not start."""
    said = parser().parse_args(arguments)
    sys.stdout.reconfigure(line_buffering=True)  # type: ignore[union-attr]
    try:
        settings = Settings.from_environment(
            os.environ, data=data_folder(said), host=said.host, port=said.port
        )
        return start(settings, said)
    except SettingError as error:
        return refuse(error)


def start(settings: Settings, said: argparse.Namespace) -> int:
    """The imports stand here because `--help` should not wait for them."""
    from server import demo
    from server.network import PortRefused
    from server.procedure.document import LibraryError
    from server.serve import serve
    from server.store.refused import StoreRefused

    try:
        if said.command == "demo":
            demo.make_ready(settings.data, fresh=said.fresh)
            serve(settings, prepare=demo.fill)
        else:
            serve(settings)
    except (PortRefused, StoreRefused, LibraryError) as error:
        return refuse(error)
    except KeyboardInterrupt:  # uvicorn has stopped in good order and passes Ctrl-C on
        print("Stopped.")
    return 0


def refuse(error: Exception) -> int:
    print(f"cornerbook: {error}", file=sys.stderr)
    return REFUSED


def data_folder(said: argparse.Namespace) -> Path:
    """The demo keeps away from the shop's own folder, even where the environment names one."""
    if said.data is not None:
        return Path(said.data).absolute()
    if said.command == "demo":
        return own_data_folder("cornerbook-demo")
    return Path(os.environ.get("CORNERBOOK_DATA") or own_data_folder("cornerbook")).absolute()


def parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="cornerbook",
        description=ABOUT,
        epilog=KNOBS + knob_list(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="serve | demo")
    serve = commands.add_parser("serve", help="run the shop; the first start leads through setting it up")
    add_place(serve, default=own_data_folder("cornerbook"))
    demo = commands.add_parser("demo", help="run an invented shop with cars half apart, to try it out")
    add_place(demo, default=own_data_folder("cornerbook-demo"))
    demo.add_argument("--fresh", action="store_true", help="throw the demo away first and invent it anew")
    return parser


def add_place(command: argparse.ArgumentParser, *, default: Path) -> None:
    command.add_argument("--data", metavar="DIR", help=f"the folder of all data ({default})")
    command.add_argument("--host", help="the address to listen on (all of this machine)")
    command.add_argument("--port", type=port, help="the port to listen on (8765)")


def port(text: str) -> int:
    try:
        return whole(0, 65535)(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError("a port is a whole number from 0 to 65535") from error


def knob_list() -> str:
    return "\n".join(
        f"  {variable(knob):<30} {knob.metadata['why']}{_usual(knob.default)}" for knob in knobs()
    )


def _usual(default: object) -> str:
    return f" ({default})" if default else ""


if __name__ == "__main__":
    sys.exit(main())
