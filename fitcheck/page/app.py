"""The live sheet: one part in one tank, in a browser on this machine, with its numbers to change."""

from __future__ import annotations

import asyncio
import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from nicegui import app, background_tasks, run, ui

from fitcheck.draw.paper_sizes import PaperName
from fitcheck.page.guard import Guard
from fitcheck.page.live import CLEARANCES, Asked, Desk, Live, Shown, Where, level_span_mm, printed, whole
from fitcheck.questions.chart.page import read_first
from fitcheck.sheet.web import style_css
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.words.errors import FitcheckError, InputFault
from fitcheck.words.units import RAD_PER_DEGREE, show_length

LOOKS = Path(__file__).with_name("live.css")
SLIDES = Path(__file__).with_name("live.js")
# What each angle does, and how far it goes either way, in degrees.
ANGLES = (
    ("tilt", "Tilt, +x end up", 90.0),
    ("roll", "Roll, +y side up", 180.0),
    ("swing", "Swing, +x towards +y", 180.0),
)
SIZES = ("length", "width", "height")
# What takes longer than the rest is looked for once nothing was asked for so long.
SETTLED_S = 0.2


def serve(path: Path, part: str | None, tank: str | None, port: int, paper: PaperName) -> None:
    """Serve the live sheet of a shop file on 127.0.0.1 until Ctrl-C; raises `InputFault` for a bad file."""
    live, desk = Live.of(path), Desk()
    first = Asked(part or next(iter(live.shop.parts)), tank or next(iter(live.shop.tanks)), Angles())
    # Loads the compiled loops and the drawing, so that the first paint does not wait for them.
    printed(desk.shown(live.shop, first).page, paper)

    @ui.page("/")
    def sheet() -> None:
        LiveSheet(Live.of(path), desk, first, paper)

    app.add_middleware(Guard, port=port)
    ui.run(
        host="127.0.0.1",
        port=port,
        title=f"{live.shop.name} - fitcheck",
        favicon="\N{TRIANGULAR RULER}",
        reload=False,
        show=False,
        tailwind=False,
        show_welcome_message=False,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Printed:
    """An answer, and its page as a browser shows and prints it."""

    shown: Shown
    html: str


class LiveSheet:
    """The page of one reader: what is asked, and the elements that show the answer."""

    def __init__(self, live: Live, desk: Desk, asked: Asked, paper: PaperName) -> None:
        self._live, self._desk, self._asked, self._paper = live, desk, asked, paper
        self._busy = self._setting = self._faded = False
        self._asked_times = 0
        self._read_of: tuple[Shop, str] | None = None
        ui.add_body_html(f"<script>{SLIDES.read_text(encoding='utf-8')}</script>")
        ui.add_css(LOOKS.read_text(encoding="utf-8") + style_css(paper))
        with ui.element("main").classes("live"):
            with ui.element("section").classes("controls").props('aria-label="what is asked"'):
                self._controls()
            with ui.element("section").classes("paper").props('aria-label="the sheet"'):
                self._page = ui.html("", sanitize=False)
                self._read = ui.html("", sanitize=False)
        self._refresh()

    # What is asked.

    def _controls(self) -> None:
        shop, asked = self._live.shop, self._asked
        ui.label(shop.name).classes("shop")
        self._line = ui.label().classes("line").props('role="status" aria-live="polite"')
        with ui.element("div").classes("chosen"):
            ui.select(
                list(shop.parts),
                value=asked.part,
                label="Part",
                on_change=lambda e: self._choose(part=e.value),
            )
            ui.select(
                list(shop.tanks),
                value=asked.tank,
                label="Tank",
                on_change=lambda e: self._choose(tank=e.value),
            )
        self._angles = {name: self._angle(*row) for row in ANGLES for name in row[:1]}
        self._covers = ui.checkbox("Liquid just covers it", value=True, on_change=self._ask)
        low, high = level_span_mm(shop.tanks[asked.tank])
        with ui.element("label").classes("turned"):
            self._level_words = ui.label().classes("level")
            self._level = ui.slider(min=low, max=high, value=high, on_change=self._ask)
            self._level.props('aria-label="Level"').bind_enabled_from(
                self._covers, "value", lambda on: not on
            )
        with ui.element("div").classes("buttons"):
            ui.button("Find a pose", on_click=self._find, color=None)
            self._save = ui.button("Save the shop file", on_click=self._save_file, color=None)
            ui.button("Print", on_click=lambda: ui.run_javascript("window.print()"), color=None)
        self._says = ui.label().classes("says").props('role="alert"')
        with ui.expansion("Clearances, blocks", value=False):
            self._fields = ui.element("div")
        self._lay_fields()

    def _angle(self, name: str, words: str, most: float) -> ui.number:
        with ui.element("div").classes("turned"):
            number = ui.number(
                words, min=-most, max=most, step=0.1, value=0.0, suffix="deg", on_change=self._ask
            )
            slider = ui.slider(min=-most, max=most, step=0.1, value=0.0).props(f'aria-label="{name}"')
            slider.bind_value(number)
        return number

    def _lay_fields(self) -> None:
        """Lay out the fields for what the file says of this tank."""
        tank = self._live.shop.tanks[self._asked.tank]
        self._fields.clear()
        with self._fields:
            for key in CLEARANCES:
                where: Where = ("tanks", tank.name, key)
                rule = self._live.value(where) or self._live.value(("rules", key)) or "0 mm"
                self._field(key.replace("_", " "), rule, where)
            for k, block in enumerate(tank.blocks):
                ui.label(f"Block {block.name}").classes("of-block")
                for what in ("size", "at"):
                    for axis, side in enumerate(SIZES):
                        where = ("tanks", tank.name, "blocks", k, what, axis)
                        label = (
                            side if what == "size" else f"from the low {side} end".replace("height", "floor")
                        )
                        self._field(label, self._live.value(where) or "", where)

    def _field(self, label: str, value: str, where: Where) -> None:
        field = ui.input(label, value=value)

        def change() -> None:
            self._change(where, str(field.value))

        field.on("keydown.enter", change).on("blur", change)

    # What happens.

    def _choose(self, part: str | None = None, tank: str | None = None) -> None:
        asked = self._asked
        self._asked = Asked(part or asked.part, tank or asked.tank, asked.angles, asked.level_mm)
        if tank:
            low, high = level_span_mm(self._live.shop.tanks[tank])
            self._level.props(f"min={low} max={high}").set_value(min(self._level.value or high, high))
            self._lay_fields()
        self._refresh()

    def _ask(self) -> None:
        if self._setting:
            return
        tilt, roll, swing = (float(self._angles[name].value or 0.0) for name, _, _ in ANGLES)
        angles = Angles(tilt * RAD_PER_DEGREE, roll * RAD_PER_DEGREE, swing * RAD_PER_DEGREE)
        level = None if self._covers.value else float(self._level.value or 0.0)
        self._asked = Asked(self._asked.part, self._asked.tank, angles, level)
        self._refresh()

    def _change(self, where: Where, words: str) -> None:
        """Change the shop file; where it cannot be read so, say why and keep what was."""
        if words == self._live.value(where):
            return
        self._try(lambda: self._take(self._live.changed(where, words)))

    def _take(self, live: Live) -> None:
        self._live = live
        self._says.set_text("")
        self._refresh()

    async def _find(self) -> None:
        asked = self._asked
        self._says.set_text("looking for a pose ...")
        angles = await run.io_bound(self._desk.best, self._live.shop, asked.part, asked.tank, "level")
        self._says.set_text("")
        if angles is None:  # the server is going down
            return
        self._setting = True
        for (name, _, _), angle in zip(ANGLES, angles, strict=True):
            self._angles[name].set_value(round(math.degrees(angle), 2))
        self._setting = False
        self._asked = Asked(asked.part, asked.tank, angles, asked.level_mm)
        self._refresh()

    def _save_file(self) -> None:
        def save() -> None:
            self._live, copy = self._live.saved()
            self._says.set_text(f"saved; what was there before is in {copy.name}")
            self._save.set_enabled(False)

        self._try(save)

    def _try(self, act: Callable[[], None]) -> None:
        try:
            act()
        except FitcheckError as fault:
            self._says.set_text(_words_of(fault))

    # What is shown.

    def _refresh(self) -> None:
        """Show the answer to what is asked now; of questions that come faster only the last is answered."""
        self._asked_times += 1
        self._save.set_enabled(self._live.is_changed)
        self._put_level()
        if not self._busy:
            self._busy = True
            background_tasks.create(self._show(), name="show")

    async def _show(self) -> None:
        try:
            answered = 0
            while answered < self._asked_times:
                answered = self._asked_times
                shop, asked = self._live.shop, self._asked
                first = await run.io_bound(self._answered, shop, asked)
                self._put(first)
        finally:
            self._busy = False
        background_tasks.create(self._follow(first, shop, asked.tank, answered), name="follow")

    async def _follow(
        self, first: Printed | FitcheckError | None, shop: Shop, tank: str, answered: int
    ) -> None:
        """Show what takes longer, once no other question comes: holes that help, cautions of the tank."""
        await asyncio.sleep(SETTLED_S)
        if isinstance(first, Printed) and not first.shown.is_whole and answered == self._asked_times:
            then = await run.io_bound(self._in_whole, first.shown, shop)
            if answered == self._asked_times:
                self._put(then)
        if self._read_of != (shop, tank) and answered == self._asked_times:
            self._read_of = shop, tank
            cautions = await run.io_bound(self._cautions, shop, tank)
            self._read.set_content(cautions or "")

    def _answered(self, shop: Shop, asked: Asked) -> Printed | FitcheckError:
        try:
            return self._printed(self._desk.shown(shop, asked))
        except FitcheckError as fault:
            return fault

    def _in_whole(self, shown: Shown, shop: Shop) -> Printed | FitcheckError:
        try:
            return self._printed(whole(shown, shop))
        except FitcheckError as fault:
            return fault

    def _printed(self, shown: Shown) -> Printed:
        return Printed(shown, printed(shown.page, self._paper))

    def _cautions(self, shop: Shop, tank: str) -> str:
        return printed(read_first(shop, [shop.tanks[tank]]), self._paper)

    def _put(self, found: Printed | FitcheckError | None) -> None:
        """Show a page; where there is none say why, and fade the one that answers what was asked before."""
        if isinstance(found, Printed):
            self._line.set_text(found.shown.line)
            self._line.classes(replace=f"line {found.shown.answer.verdict.replace(' ', '-')}")
            self._page.set_content(found.html)
            if self._covers.value and found.shown.lift is not None:
                self._put_level(found.shown.lift.answer.advice.fill.level_mm)
            if self._faded:
                self._says.set_text("")
        elif found is not None:  # the server is not going down
            self._line.set_text("")
            self._says.set_text(_words_of(found))
        self._faded = not isinstance(found, Printed)
        self._page.classes(**{"add" if self._faded else "remove": "faded"})

    def _put_level(self, level_mm: float | None = None) -> None:
        """Tell the level that is set; set it first, where it follows the part."""
        if level_mm is not None:
            self._setting = True
            self._level.set_value(level_mm)
            self._setting = False
        shop = self._live.shop
        down_mm = shop.tanks[self._asked.tank].depth_mm - float(self._level.value or 0.0)
        self._level_words.set_text(f"Level, {show_length(down_mm, shop.show)} from the rim")


def _words_of(fault: FitcheckError) -> str:
    return "\n".join(str(each) for each in fault.faults) if isinstance(fault, InputFault) else str(fault)
