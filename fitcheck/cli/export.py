"""`fitcheck export`: the part as it hangs in the tank, as a mesh file for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    PartName,
    Roll,
    ShopFile,
    Swing,
    TankName,
    Tilt,
    angles_given,
    part_and_tank,
)


def export(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tank: TankName,
    to: Annotated[
        Path, typer.Option("--to", metavar="FILE.glb", help="Where to write it: .glb, .3mf or .stl.")
    ],
    tilt: Tilt = None,
    roll: Roll = None,
    swing: Swing = None,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Write over a file that is there.")] = False,
    as_json: AsJson = False,
) -> None:
    """Write the part as advised, the inside of the tank and what stands in it, as bodies of one file."""
    from fitcheck.files.posed_mesh import bodies, check_target, write_bodies
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.dip.answer import Fits, MeasureAgain
    from fitcheck.questions.dip.ask import dip as ask
    from fitcheck.questions.dip.say import verdict_line
    from fitcheck.things.records import pose_json

    check_target(to, over=overwrite)
    angles = angles_given(tilt, roll, swing)
    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = ask(the_part, the_tank, angles=angles, with_cures=False)
    goes = isinstance(answer, Fits | MeasureAgain)
    pose = answer.advice.pose if isinstance(answer, Fits | MeasureAgain) else answer.nearest
    these = bodies(the_part, the_tank, pose)
    write_bodies(to, these, over=overwrite)
    code = CODE_OF_VERDICT[answer.verdict]
    names = [body.name for body in these]
    if as_json:
        finish_json(
            {"file": str(to), "verdict": answer.verdict, "bodies": names, "pose": pose_json(pose)}, code
        )
    how = "as advised" if goes else "at the pose nearest to fitting"
    finish(f"{verdict_line(answer, known.show)}\n\n{to}: {', '.join(names)}; {part} {how}", code)
