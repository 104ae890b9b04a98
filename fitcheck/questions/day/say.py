"""A day in the words of the shop: by the clock, load by load, and who is free to do it."""

from __future__ import annotations

from fitcheck.questions.day.answer import DayAnswer, DayLoad
from fitcheck.questions.lot.say import counted, left_out_table
from fitcheck.say.lines import cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.crew import Crew
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, clock, show_length, show_time


def text(answer: DayAnswer, shop: Shop) -> str:
    """Return the answer as text: by load, by the clock, what is left out, cautions."""
    blocks = [folded(first_line(answer)), _by_load(answer), _by_the_clock(answer, shop.show)]
    steps = {each.work: (each.work,) for each in answer.left_out}
    blocks += [left_out_table(answer.left_out, steps), cautions_text(answer.cautions, shop.show)]
    return "\n\n".join(block for block in blocks if block)


def first_line(answer: DayAnswer) -> str:
    """Return how it ends, and what is proven of that."""
    left = len({each.part for each in answer.left_out})
    out = "" if not left else f"; {left} part{'s' if left > 1 else ''} left out"
    if not answer.loads:
        return f"nothing goes through all the steps{out}"
    crew, done = answer.crew, clock_at(answer.crew, answer.finish_s)
    if answer.at_least_s == answer.finish_s:
        proven = "proven: these loads are not done sooner"
    else:
        proven = f"proven: not before {clock_at(crew, answer.at_least_s)}"
    late = ""
    if crew.hours_s is not None and answer.finish_s > crew.hours_s:
        ends = clock_at(crew, crew.hours_s)
        never = answer.at_least_s > crew.hours_s
        late = f"; the day ends at {ends}, " + (
            "and that cannot be kept" if never else "which was not reached"
        )
    return f"{counted(len(answer.loads))}, done at {done} ({proven}){late}{out}"


def clock_at(crew: Crew, at_s: float) -> str:
    """Return a time of the day by the clock."""
    return clock(crew.start_s + at_s)


def what_is_in(load: DayLoad) -> str:
    """Return what is in a load: "P01, P16 x 12"."""
    counts: dict[str, int] = {}
    for name, _ in load.parts:
        counts[name] = counts.get(name, 0) + 1
    return ", ".join(name if count == 1 else f"{name} x {count}" for name, count in counts.items())


def _by_load(answer: DayAnswer) -> str:
    """Return a line for each load: when it is where."""
    if not answer.loads:
        return ""
    steps = [visit.step for visit in answer.loads[0].visits]
    rows = [
        [
            str(k + 1),
            *(
                f"{clock_at(answer.crew, visit.enter_s)}-{clock_at(answer.crew, visit.out_s)} "
                f"{' and '.join(visit.places)}"
                for visit in load.visits
            ),
            what_is_in(load),
        ]
        for k, load in enumerate(answer.loads)
    ]
    return table_text(["load", *steps, "parts"], rows)


def _by_the_clock(answer: DayAnswer, show: Show) -> str:
    """Return all that is to be done, by the clock."""
    crew, rows = answer.crew, []
    for k, load in enumerate(answer.loads):
        levels = {lot.work: lot.level_mm for lot in load.lots}
        for visit in load.visits:
            where = " and ".join(visit.places)
            level = (
                f", level {show_length(levels[visit.step], show)}, parts in" if visit.step in levels else ""
            )
            rows.append((visit.enter_s, k, f"into {where} ({visit.step}{level})"))
            drip = visit.free_s - visit.out_s
            held = f", let it drip {show_time(drip)}" if drip else ""
            leave = "out of" if visit.step in levels else "off"
            rows.append((visit.out_s, k, f"{leave} {where}{held}"))
    told = [[clock_at(crew, at), f"load {k + 1}", what] for at, k, what in sorted(rows)]
    return "By the clock\n" + table_text(["time", "load", "what"], told) if told else ""
