"""`fitcheck chart`: which part goes under in which tank."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from fitcheck.rim.cli.finish import finish, finish_json
from fitcheck.rim.cli.options import AsJson, ShopFile, tanks_of
from fitcheck.rim.cli.progress import ticking

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fitcheck.questions.chart import ChartRow
    from fitcheck.words.units import Show


def chart(
    shop: ShopFile,
    scheduler: Annotated[
        str | None,
        typer.Option(metavar="ADDRESS", help="Have a Dask cluster do it: tcp://HOST:8786."),
    ] = None,
    no_cache: Annotated[
        bool, typer.Option("--no-cache", help="Ask everything afresh, and keep nothing.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Ask which part goes under in which tank."""
    from fitcheck.rim.cli.crew import cluster, crew
    from fitcheck.rim.files.answer_store import AnswerStore, key_of_file, user_folder

    store = None if no_cache else AnswerStore(user_folder())
    whole = key_of_file(shop) if store else None
    kept = _kept(store.get(whole)) if store and whole else None
    if kept is not None:
        _tell(*kept, as_json)
    with crew() if scheduler is None else cluster(scheduler) as executor:
        from fitcheck.questions.chart import chart as ask
        from fitcheck.rim.files.answer_store import keys_of
        from fitcheck.rim.files.shop_file import read_shop

        known = read_shop(shop)
        tanks_of(known, shop)
        keys = keys_of(known) if store else {}
        rows_known = store.rows(keys) if store else {}
        with ticking(len(known.parts), "every part in every tank") as tick:
            rows = ask(known, tick, executor, rows_known)
    if store:
        for row in rows:
            if (row.part, row.tank) not in rows_known:
                store.put(keys[row.part, row.tank], dataclasses.asdict(row))
        # The file may have been changed meanwhile: then its key is no longer that of what was read.
        if whole and key_of_file(shop) == whole:
            store.put(whole, {"show": known.show, "rows": [dataclasses.asdict(row) for row in rows]})
    _tell(rows, known.show, as_json)


def _kept(data: object) -> tuple[Sequence[ChartRow], Show] | None:
    """Return a whole chart that was kept, and the unit it is shown in; None where it is none."""
    from fitcheck.rim.files.answer_store import row_from

    match data:
        case {"show": ("ft-in" | "mm") as show, "rows": [*kept]}:
            names = [(str(row.get("part")), str(row.get("tank"))) for row in kept if isinstance(row, dict)]
            rows = [row_from(row, name) for row, name in zip(kept, names, strict=False)]
            whole = [row for row in rows if row is not None]
            return (whole, show) if len(whole) == len(kept) else None
    return None


def _tell(rows: Sequence[ChartRow], show: Show, as_json: bool) -> NoReturn:
    from fitcheck.rim.cli.tables import chart_table
    from fitcheck.rim.files.answer_json import row_json

    if as_json:
        finish_json([row_json(row) for row in rows])
    finish(chart_table(rows, show))
