"""What is dangerous about wetting a part in more than one pass, or sprung: its bands, its ends, its air."""

from __future__ import annotations

from fitcheck.questions.passes.answer import CUPFUL_L, PassAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import tank_cautions

SEVERAL = (Caution("band shows"), Caution("end stands out"))


def cautions_of(answer: PassAnswer, tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of its tank, and of treating a part in pieces."""
    keeps_air = any(each.air_l > CUPFUL_L for each in answer.passes)
    return each_once(
        *(SEVERAL if len(answer.passes) > 1 else ()),
        *_narrow_band(answer, tank),
        *((Caution("air in passes"),) if keeps_air else ()),
        *(() if tank.is_box else (Caution("way down"),)),
        *((Caution("sprung sheet"),) if answer.sprung is not None else ()),
        *tank_cautions(tank),
    )


def _narrow_band(answer: PassAnswer, tank: Tank) -> tuple[Caution, ...]:
    """Warn of a band, treated twice, that is less wide than the overlap: that is kept along the part."""
    overlap_mm = tank.rules.overlap_mm
    if answer.band_mm is None or answer.band_mm >= overlap_mm:
        return ()
    return (Caution.of("narrow band", band_mm=answer.band_mm, overlap_mm=overlap_mm),)
