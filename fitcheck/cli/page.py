"""`fitcheck page`: the live sheet, in a browser on this machine."""

from __future__ import annotations

import socket
from typing import Annotated

import typer

from fitcheck.cli.finish import note
from fitcheck.cli.options import PaperWord, ShopFile, part_and_tank
from fitcheck.words.errors import Refused

PORT = 8460


def page(
    shop: ShopFile,
    part: Annotated[str | None, typer.Option(help="The part to begin with.")] = None,
    tank: Annotated[str | None, typer.Option(help="The tank to begin with.")] = None,
    port: Annotated[int, typer.Option(min=1024, max=65535, help="Where on this machine.")] = PORT,
    paper: Annotated[PaperWord, typer.Option(help="The paper it is printed on.")] = "letter",
) -> None:
    """Open the sheet of a part in a tank with its numbers to change, on 127.0.0.1 only, until Ctrl-C."""
    with socket.socket() as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind(("127.0.0.1", port))
        except OSError as fault:
            raise Refused(f"port {port} of this machine is in use", "name another with --port") from fault
    from fitcheck.page.live import Live

    known = Live.of(shop).shop
    if part is not None or tank is not None:
        names = part or next(iter(known.parts), ""), tank or next(iter(known.tanks), "")
        part_and_tank(known, shop, *names)
    from fitcheck.page.app import serve

    note(f"open http://127.0.0.1:{port} in a browser on this machine; Ctrl-C ends it")
    serve(shop, part, tank, port, paper)
