"""The demo yard, read from where it is installed."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from fitcheck.files.shop_file import read_shop
from fitcheck.things.shop import Shop


def demo_shop() -> Shop:
    """Return our own boatyard's finishing bay, to try every question on: what `fitcheck demo` writes.

    Returns
    -------
    Shop
        Read anew at each call, from where fitcheck is installed. There always is one.

    Raises
    ------
    InputFault
        Where the installed files are damaged.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> shop.parts["P11"]
    <Part P11: 1200 x 200 x 200 mm, 4.35665 kg>
    """
    with resources.as_file(resources.files("fitcheck.files") / "demo") as folder:
        return read_shop(Path(folder) / "yard.toml")
