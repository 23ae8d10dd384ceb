"""The moulds that are timed: four straight bushings, and the mount of the demo."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from pourwright.app.project_files import load
from pourwright.app.shops import DEMO, start_shop
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import STYLES
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.material import Material
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.tree import Node
from pourwright.steps.planning.kit_wish import wish_of
from pourwright.store.shop_folder import open_shop

BUSHING: Mapping[str, float] = {"outer_diameter": 0.028, "height": 0.024, "bore": 0.009}


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One part with all that a kit is made from."""

    name: str
    project: Project
    shape: PartShape
    shop: Shop
    resin: Material
    silicone: Material
    style: str

    def design(self, *, wider_mm: float = 0.0) -> MouldDesign:
        """The mould, with so much more silicone beside the cavities."""
        wish = wish_of(self.project, self.shop, resin=self.resin, silicone=self.silicone)
        return self._built(replace(wish, wall_mm=wish.wall_mm + wider_mm))

    def _built(self, wish: StyleWish) -> MouldDesign:
        return STYLES[self.style].build(self.shape, wish, None)


def samples() -> tuple[Sample, ...]:
    """Two moulds of four cavities, one of each style."""
    return _bushings(), _mount()


def _bushings() -> Sample:
    part = Part(family="straight bushing", dimensions=BUSHING)
    resin, silicone = "urethane 80A", "platinum silicone 30A"
    wish = MouldWish(cavities=4)
    return Sample(
        name="4 straight bushings, open",
        project=Project(name="bushing", title="bushing", part=part, resin=resin, silicone=silicone, mould=wish),
        shape=shape_of(part),
        shop=Shop(),
        resin=load_material(resin),
        silicone=load_material(silicone),
        style="open with cover plate",
    )


def _mount() -> Sample:
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        name = start_shop(shop, DEMO).projects[0]
        loaded = load(open_shop(shop), name)
    return Sample(
        name="4 barrels of the demo, lidded",
        project=loaded.project,
        shape=loaded.shape,
        shop=loaded.shop,
        resin=loaded.materials.resin,
        silicone=loaded.materials.silicone,
        style="two-part lidded",
    )


def solids(design: MouldDesign) -> list[Node]:
    """What a preview shows: every piece, both halves and the cavity."""
    return [*(piece.solid for piece in design.pieces), design.lower, design.closing, design.cavity]
