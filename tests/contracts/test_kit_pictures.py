"""Pictures of whole kits: every piece has one, every piece is named, the release map is that of the proof."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from defusedxml import ElementTree

from paper_bodies import read_png
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.paper.touching import touching_faces
from pourwright.steps.pictures.draw_kit import KitPictures, draw_kit
from reference_kits import lidded_kit, open_kit

NAMESPACE = "{http://www.w3.org/2000/svg}"


@cache
def kit(lidded: bool) -> tuple[MouldDesign, Evaluator, KitPictures]:
    """A reference kit with its pictures."""
    design = lidded_kit() if lidded else open_kit()
    evaluator = Evaluator(MeshKernel(48))
    return design, evaluator, draw_kit(design, evaluator, width=400)


def texts(svg: bytes) -> set[str]:
    """Every line of text in a picture."""
    return {element.text for element in ElementTree.fromstring(svg.decode()).iter(f"{NAMESPACE}text")}


@pytest.mark.parametrize("lidded", [False, True])
def test_every_piece_has_a_picture_of_its_own(lidded: bool) -> None:
    design, _, pictures = kit(lidded)
    cast = {"lower half", "cavity", *(["lid"] if design.closing_is_silicone else [])}
    assert set(pictures.pieces) == {piece.name for piece in design.pieces} | cast
    for content in pictures.pieces.values():
        pixels = read_png(content)
        assert pixels.shape[1] == 640
        assert len(np.unique(pixels.reshape(-1, 3), axis=0)) > 10


@pytest.mark.parametrize("lidded", [False, True])
def test_the_kit_drawn_apart_names_every_piece_and_each_silicone(lidded: bool) -> None:
    design, _, pictures = kit(lidded)
    names = {f"{p.name} ×{len(p.places_mm)}" if len(p.places_mm) > 1 else p.name for p in design.pieces}
    assert texts(pictures.overview) == names | {"lower half"} | ({"lid"} if lidded else set())


@pytest.mark.parametrize("lidded", [False, True])
def test_the_section_names_silicone_resin_and_fill_lines(lidded: bool) -> None:
    wanted = {"lower half", "resin", "parting", "fill line 1"} | ({"lid", "fill line 2"} if lidded else {"cover plate"})
    assert wanted <= texts(kit(lidded)[2].section)


def test_only_a_mould_with_a_silicone_lid_has_a_release_map() -> None:
    assert kit(False)[2].release is None
    assert read_png(kit(True)[2].release).size > 0


def test_the_faces_of_the_release_map_have_the_release_area_of_the_reference_kit() -> None:
    design, evaluator, _ = kit(True)
    lower, lid = evaluator.mesh(design.lower), evaluator.mesh(design.closing)
    meets = touching_faces(lower, lid)
    a, b, c = (lower[0][lower[1][meets][:, k]] for k in range(3))
    area = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()
    # The exact area of the closed form; chords of 48 and corrected radii are worth some 1e-4 of it.
    assert area == pytest.approx(3323.339293, rel=1e-3)


def test_the_same_kit_gives_the_same_pictures() -> None:
    design, _, pictures = kit(True)
    again = draw_kit(design, Evaluator(MeshKernel(48)), width=400)
    assert again == pictures
