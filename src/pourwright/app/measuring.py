"""What calipers found on the first pattern: kept beside the project, and the sizes of the cast forecast anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from pourwright.app.answer_sizes import size_answer
from pourwright.app.project_files import Loaded, load
from pourwright.basics.errors import InputError
from pourwright.basics.progress import Report, silent, span
from pourwright.domain.size_forecast import Measured, SizeForecast, Verdict
from pourwright.steps.judge_pattern import Reprint, overall, refuse_slips, reprint_for
from pourwright.store.shop_folder import add_measured, located, open_shop, read_measured, read_readings

_MM = 1e3


@dataclass(frozen=True, kw_only=True)
class Judged:
    """The sizes of the cast with what was measured; `saved` is the file with the readings, None if none was new."""

    loaded: Loaded
    sizes: tuple[SizeForecast, ...]
    verdict: Verdict
    reprint: Reprint
    saved: Path | None
    new: tuple[Measured, ...]

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """Sizes without a reading."""
        return tuple(size.name for size in self.sizes if size.measured is None)


def measure(
    shop: Path | None,
    name: str,
    found: Sequence[Measured] = (),
    *,
    file: Path | None = None,
    on: date | None = None,
    report: Report = silent,
) -> Judged:
    """Keep readings of a pattern and forecast the cast's sizes anew.

    Parameters
    ----------
    shop : the shop folder, or a folder inside one; None for where the person stands.
    name : of the project.
    found : readings; without any, the forecast rests on what was kept before.
    file : more readings, as a person wrote them down.
    on : the day; None for today.

    Raises
    ------
    InputError
        An unknown size, a reading that no print could give; nothing is written.
    """
    folder = open_shop(shop)
    loaded = load(folder, name, report=span(report, 0.0, 0.3))
    drawn = _drawn(loaded, report=span(report, 0.3, 0.8))
    new = (*found, *(read_readings(file, tuple(drawn)) if file is not None else ()))
    refuse_slips(new, drawn)
    today = (on or date.today()).isoformat()  # the day at the bench, wherever that is
    new = tuple(replace(one, drawn=drawn[one.name], on=today) for one in new)
    project = loaded.project
    saved = add_measured(folder, project.name, new) if new else None
    project = replace(project, measured=read_measured(folder, project.name))
    loaded = replace(loaded, project=project)
    sizes = _planned(loaded, report=span(report, 0.8, 1.0))
    report(1.0, "done")
    return Judged(
        loaded=loaded,
        sizes=sizes,
        verdict=overall(sizes),
        reprint=reprint_for(project, sizes),
        saved=saved,
        new=new,
    )


def _drawn(loaded: Loaded, report: Report) -> dict[str, float]:
    sizes = _planned(loaded, report)
    return {size.name: size.drawn for size in sizes}


def _planned(loaded: Loaded, report: Report) -> tuple[SizeForecast, ...]:
    from pourwright.engines.geometry.evaluate import Evaluator
    from pourwright.engines.geometry.kernels.mesh import MeshKernel
    from pourwright.steps.planning.kit_wish import allowed_stretch
    from pourwright.steps.planning.plan_mould import plan_mould
    from pourwright.steps.studies.study_solid import study_solid

    materials, project = loaded.materials, loaded.project
    evaluator = Evaluator(MeshKernel(segments=48, library=loaded.library))
    try:
        allowed = allowed_stretch(materials.silicone)
        solid = study_solid(loaded.shape, evaluator, allowed_stretch=allowed, report=report)
        plan = plan_mould(
            project, loaded.shape, loaded.shop, resin=materials.resin, silicone=materials.silicone, solid=solid
        )
    except InputError as error:
        raise located(loaded.folder, project.name, error) from error
    return plan.sizes


def judged_answer(judged: Judged) -> dict[str, object]:
    """The same as the plain object of `--json`: keys carry their unit."""
    reprint = judged.reprint
    return {
        "project": judged.loaded.project.name,
        "verdict": judged.verdict,
        "sizes": [size_answer(size) for size in judged.sizes],
        "unmeasured": list(judged.unmeasured),
        "reprint": {
            "needed": reprint.needed,
            "scale": None if reprint.scale is None else round(reprint.scale, 6),
            "offsets_mm": {name: round(offset * _MM, 4) for name, offset in reprint.offsets.items()},
        },
        "readings": [
            {"name": one.name, "readings_mm": [round(value * _MM, 6) for value in one.readings]} for one in judged.new
        ],
        "saved": None if judged.saved is None else str(judged.saved),
    }
