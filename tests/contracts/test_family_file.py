"""The family of parts from files: size, bore, and what it promises of the imported solid."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.tree import Imported


def block_with_hole(sides: int = 24, hole: float = 3.0, slot: bool = False) -> ImportedSolid:
    """A prism of height 10 between two polygons; with a slot, a C."""
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    circle = np.column_stack((np.cos(turn), np.sin(turn)))
    rings = [np.column_stack((r * circle, np.full(sides, z))) for r, z in ((8, 0), (8, 10), (hole, 10), (hole, 0))]
    faces = []
    for ring in range(4):
        for n in range(sides - (1 if slot else 0)):
            a, b = ring * sides + n, ring * sides + (n + 1) % sides
            c, d = (a + sides) % (4 * sides), (b + sides) % (4 * sides)
            faces += [(a, b, d), (a, d, c)]
    if slot:
        first, last = [np.array([k * sides + n for k in range(4)]) for n in (0, sides - 1)]
        faces += [tuple(first[[0, 1, 2]]), tuple(first[[0, 2, 3]]), tuple(last[[0, 2, 1]]), tuple(last[[0, 3, 2]])]
    return ImportedSolid(
        digest="d" * 64, vertices_mm=np.vstack(rings), triangles=np.array(faces), name="block", unit="mm"
    )


def imported(solid: ImportedSolid) -> PartShape:
    return shape_of(Part(family="file", file="block.stl", digest=solid.digest), {solid.digest: solid})


def test_a_part_from_a_file_is_the_imported_solid_with_its_size_and_its_bore():
    shape = imported(block_with_hole())
    assert shape.node == Imported("d" * 64)
    assert shape.outline is None
    assert shape.size_mm == (16, 16, 10)
    assert shape.radius_mm == pytest.approx(8, rel=1e-15)
    assert shape.bore_mm == pytest.approx(3 * np.cos(np.pi / 24), rel=1e-12)


def test_a_part_from_a_file_that_only_lies_round_the_axis_like_a_c_has_no_bore():
    assert imported(block_with_hole(slot=True)).bore_mm == 0


def test_only_a_step_file_promises_an_exact_solid_and_the_others_say_so():
    solid = block_with_hole()
    step = ImportedSolid(
        digest="e" * 64,
        vertices_mm=solid.vertices_mm,
        triangles=solid.triangles,
        name="b",
        unit="mm",
        step=b"ISO-10303-21;",
    )
    assert (imported(step).exact, imported(step).cautions) == (True, ())
    assert not imported(solid).exact
    assert any("no STEP" in words or "without STEP" in words for words in imported(solid).cautions)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (Part(family="file"), "needs a file"),
        (Part(family="file", file="clip.step"), "clip.step has not been read"),
        (Part(family="file", file="clip.step", digest="0" * 64), "clip.step has not been read"),
        (Part(family="file", file="clip.step", outline=({"r": 0.0, "z": 0.0},)), "takes no outline"),
        (Part(family="file", file="clip.step", dimensions={"height": 0.01}), "a file has no height"),
        (Part(family="profile", file="clip.step"), "takes no file"),
    ],
)
def test_a_part_from_a_file_without_its_file_is_refused(part, words):
    with pytest.raises(CannotBuild, match=re.escape(words)):
        shape_of(part)
