"""Reader of a shop file: what the shop has, in TOML, with lengths as people write them."""

from __future__ import annotations

from pathlib import Path

from fitcheck.files.mesh_formats import SAYS_UNIT
from fitcheck.files.shop_assemblies import read_assembly
from fitcheck.files.shop_day import read_day
from fitcheck.files.shop_halls import check_doors
from fitcheck.files.shop_liquids import read_liquid
from fitcheck.files.shop_parts import read_part
from fitcheck.files.shop_racks import read_rack
from fitcheck.files.shop_rooms import read_room
from fitcheck.files.shop_routes import read_route
from fitcheck.files.shop_steps import read_step
from fitcheck.files.shop_stock import read_stock
from fitcheck.files.shop_tanks import RULE_KEYS, Yard, read_rules, read_tank
from fitcheck.files.shop_words import LARGEST_BYTES
from fitcheck.files.toml_table import Ledger, Table, name_of, one_of
from fitcheck.files.toml_text import parsed
from fitcheck.things.shop import Shop, Show
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Fault, InputFault

_TABLES = (
    "shop",
    "rules",
    "stock",
    "liquids",
    "tanks",
    "parts",
    "racks",
    "rooms",
    "halls",
    "routes",
    "assemblies",
    "steps",
    "day",
)
_SHOWS: tuple[Show, ...] = ("ft-in", "mm")


def read_shop(path: str | Path, part: str | None = None) -> Shop:
    """Return the shop that a file describes.

    Parameters
    ----------
    path : str or Path
        The shop file, TOML. Meshes are read from its folder and the folders in it, and nowhere else.
    part : str, optional
        The only part asked about: the mesh files of others are not opened, and those parts are left out.

    Returns
    -------
    Shop
        All of it in mm, l, kg, rad and kg/l, whatever units the file is written in.

    Raises
    ------
    InputFault
        With every fault of the file, each with the file, line, table and key, what is wrong and what to
        write: also for a file that is missing, is not text, or is not TOML (there, the first place where it
        is not).

    Notes
    -----
    The format is TOML 1.0.0 (toml.io), with quantities as text that has its unit: a bare number is a fault.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> import fitcheck as fc
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "bay.toml"
    ...     _ = path.write_text("parts.rod = {shape = 'rod', length = '1 m', diameter = 20, metal = 'steel'}")
    ...     try:
    ...         fc.read_shop(path)
    ...     except fc.InputFault as fault:
    ...         print(fault.faults[0].place)
    bay.toml, line 1, [parts.rod] diameter
    """
    path = Path(path)
    return shop_from(shop_text(path), path, part)


def shop_from(text: str, path: Path, part: str | None = None) -> Shop:
    """Return the shop that a text describes, as if it stood in the file at `path`; see `read_shop`."""
    data = parsed(path.name, text)
    ledger = Ledger(path.name, text, data)
    shop = _shop_of(Table(data, (), ledger), path, part)
    ledger.close()
    return shop


def _shop_of(root: Table, path: Path, asked: str | None) -> Shop:
    """Return the shop as far as it could be read; the ledger has the faults."""
    root.only(_TABLES, "a shop file")
    if not root.values:
        root.fault("nothing is in this file", "write at least [parts.NAME] or [tanks.NAME]")
    about, rules_table = root.table("shop"), root.table("rules")
    name = show = None
    if about:
        about.only(("name", "show"), "[shop]")
        name, show = about.read("name", name_of), about.read("show", one_of(_SHOWS))
    rules = Rules()
    if rules_table:
        rules_table.only(RULE_KEYS, "[rules]")
        rules = read_rules(rules_table, rules)
    stock_table = root.table("stock")
    stock = read_stock(stock_table) if stock_table else Stock()
    liquids = {table.name: read_liquid(table) for table in root.tables("liquids")}
    yard = Yard(path.parent, rules, liquids)
    tanks = {table.name: read_tank(table, yard) for table in root.tables("tanks")}
    part_tables = root.tables("parts")
    names = [table.name for table in part_tables]
    every = asked is None or asked not in names
    parts = {table.name: read_part(table, yard.folder, every or table.name == asked) for table in part_tables}
    racks = {t.name: read_rack(t, rules.part_gap_mm, names) for t in root.tables("racks")}
    rooms = {table.name: read_room(table) for table in root.tables("rooms")}
    halls = {table.name: read_room(table) for table in root.tables("halls")}
    for table in root.tables("halls"):
        if table.name in rooms:
            table.fault(f"{table.name} is the name of a room too", "rename one")
    for table in (*root.tables("rooms"), *root.tables("halls")):
        check_doors(table, (*rooms, *halls))
    floors = {key: room for key, room in {**halls, **rooms}.items() if room}
    routes = {table.name: read_route(table, floors) for table in root.tables("routes")}
    assemblies = {t.name: read_assembly(t, parts, names) for t in root.tables("assemblies")}
    steps = [read_step(table, [*tanks], [*racks]) for table in root.tables("steps")]
    day_table = root.table("day")
    return Shop(
        name or path.stem,
        "ft-in" if show == "ft-in" else "mm",
        rules,
        {key: liquid for key, liquid in liquids.items() if liquid},
        {key: tank for key, tank in tanks.items() if tank},
        {key: part for key, part in parts.items() if part},
        {key: rack for key, rack in racks.items() if rack},
        {key: room for key, room in rooms.items() if room},
        {key: route for key, route in routes.items() if route},
        stock,
        tuple(step for step in steps if step),
        {key: hall for key, hall in halls.items() if hall},
        {key: assembly for key, assembly in assemblies.items() if assembly},
        read_day(day_table) if day_table else None,
    )


def shop_text(path: Path) -> str:
    """Return the text of the file; raise `InputFault` where it has none."""
    name = str(path) if str(path).isprintable() else repr(str(path))
    try:
        if path.is_dir():
            inside = sorted(child.name for child in path.glob("*.toml"))
            raise _fault(name, "this is a folder", f"name the shop file in it{_such_as(inside)}")
        if not path.exists():
            raise _fault(name, "there is no such file", "check its name and the folder you are in")
        if not path.is_file():
            raise _fault(name, "this is not a plain file", "save the shop file and name that")
        if path.suffix.lower() in SAYS_UNIT:
            cure = f'name it in a shop file, as in mesh = "{path.name}" under [parts.NAME]'
            raise _fault(name, "this is a mesh, not a shop file", cure)
        if path.stat().st_size > LARGEST_BYTES:
            raise _fault(name, "this is far too large for a shop file", "name the TOML file of the shop")
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        raise _fault(name, f"it cannot be read ({error})", "check its name and who may read it") from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise _fault(
            f"{path.name}, line {line}", "this is not UTF-8 text", "save the file as UTF-8"
        ) from error


def _such_as(names: list[str]) -> str:
    return f", as {names[0]}" if names else ""


def _fault(place: str, problem: str, cure: str) -> InputFault:
    return InputFault([Fault(place, problem, cure)])
