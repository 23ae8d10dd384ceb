"""How many grams of silicone and resin a part takes, for a few numbers of cavities: a loop over the job in Python."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from pourwright.app.project_files import load
from pourwright.app.shops import start_shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.steps.make_kit import make_kit
from pourwright.steps.make_pours import make_pours, volumes_of
from pourwright.store.shop_folder import open_shop


def grams(cavities: int) -> tuple[float, float]:
    """Grams of silicone and of resin for the parcel box's mount, cast so many at a time."""
    with tempfile.TemporaryDirectory() as place:
        start_shop(Path(place) / "shop", "parcel box")
        loaded = load(open_shop(Path(place) / "shop"), "mount")
    project = replace(loaded.project, mould=replace(loaded.project.mould, cavities=cavities))
    draft = make_kit(
        project,
        loaded.shape,
        loaded.shop,
        resin=loaded.materials.resin,
        silicone=loaded.materials.silicone,
        evaluator=Evaluator(MeshKernel()),
    )
    pours = make_pours(volumes_of(draft.kit), project, loaded.shop, loaded.materials).pours
    silicone = sum(1e3 * pour.total for pour in pours if pour.name != "cast")
    return silicone, 1e3 * pours[-1].total


if __name__ == "__main__":
    print("cavities  silicone g  resin g  silicone a part g")
    for cavities in (1, 2, 4):
        silicone, resin = grams(cavities)
        print(f"{cavities:8d}  {silicone:10.0f}  {resin:7.0f}  {silicone / cavities:17.0f}")
