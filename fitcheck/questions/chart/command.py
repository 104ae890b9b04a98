"""`fitcheck chart`: which part goes under in which tank."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture, parts_of, tanks_of
from fitcheck.cli.progress import ticking

if TYPE_CHECKING:
    from fitcheck.questions.chart.answer import Chart
    from fitcheck.words.units import Show


@dataclasses.dataclass(frozen=True, slots=True)
class Told:
    """A chart, with the shop's name, the unit it is shown in, and the tanks of each of its steps.

    One that was kept is told without its shop file being read.
    """

    name: str
    show: Show
    answer: Chart
    steps: tuple[tuple[str, tuple[str, ...]], ...] = ()


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
    picture: Picture = None,
    table: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE.csv", help="Write the chart as a table too.")
    ] = None,
) -> None:
    """Ask which part goes under in which tank."""
    check_picture(picture)
    if table is not None:
        from fitcheck.questions.chart.command_csv import check_csv

        check_csv(table)
    told = _asked(shop, scheduler, no_cache)
    if picture is not None:
        from fitcheck.questions.chart.draw import draw_chart

        draw_chart(told.answer.rows, told.show, picture, told.name)
    if table is not None:
        from fitcheck.questions.chart.command_csv import write_csv

        write_csv(table, told.answer.rows)
    _tell(told, as_json)


def _asked(shop: Path, scheduler: str | None, no_cache: bool) -> Told:
    """Return the chart: the one that was kept where nothing has changed, else what is not kept asked for."""
    from fitcheck.cli.crew import cluster, crew
    from fitcheck.questions.chart.command_store import AnswerStore, key_of_file, user_folder

    store = None if no_cache else AnswerStore(user_folder())
    whole = key_of_file(shop) if store else None
    kept = _kept(store.get(whole)) if store and whole else None
    if kept is not None:
        return kept
    with crew() if scheduler is None else cluster(scheduler) as executor:
        from fitcheck.files.shop_file import read_shop
        from fitcheck.questions.chart.ask import chart as ask
        from fitcheck.questions.chart.command_store import kept_row, keys_of

        known = read_shop(shop)
        parts_of(known, shop)
        tanks_of(known, shop)
        keys = keys_of(known) if store else {}
        rows_known = store.rows(keys) if store else {}
        with ticking(len(known.parts), "every part in every tank") as progress:
            answer = ask(known, progress, executor, rows_known)
    steps = tuple((step.name, step.tanks) for step in known.steps if step.tanks)
    if store:
        for row in answer:
            if (row.part, row.tank) not in rows_known:
                store.put(keys[row.part, row.tank], kept_row(row))
        # The file may have been changed meanwhile: then its key is no longer that of what was read.
        if whole and key_of_file(shop) == whole:
            told_rows = [kept_row(row) for row in answer]
            chart_kept = {"name": known.name, "show": known.show, "rows": told_rows, "steps": steps}
            store.put(whole, chart_kept)
    return Told(known.name, known.show, answer, steps)


def _kept(data: object) -> Told | None:
    """Return a whole chart that was kept; None where it is none."""
    from fitcheck.questions.chart.answer import Chart
    from fitcheck.questions.chart.command_store import row_from

    match data:
        case {"name": str(name), "show": ("ft-in" | "mm") as show, "rows": [*kept], "steps": [*steps]}:
            pairs = [(str(row.get("part")), str(row.get("tank"))) for row in kept if isinstance(row, dict)]
            rows = [row_from(row, pair) for row, pair in zip(kept, pairs, strict=False)]
            whole = [row for row in rows if row is not None]
            named = tuple((str(step), tuple(map(str, tanks))) for step, tanks in steps)
            return Told(name, show, Chart(tuple(whole)), named) if len(whole) == len(kept) else None
    return None


def _tell(told: Told, as_json: bool) -> NoReturn:
    from fitcheck.questions.chart.say import chart_text
    from fitcheck.questions.register import to_dict

    if as_json:
        finish_json(to_dict(told.answer, told.show))
    finish(chart_text(told.answer.rows, told.show, told.steps))
