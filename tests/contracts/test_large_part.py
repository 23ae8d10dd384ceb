"""What a second process makes of a part of very many triangles is what would have been made here."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from mesh_bodies import dome
from pourwright.app import large_part
from pourwright.app.large_part import LargePart
from pourwright.basics.progress import silent
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import STYLES
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.repeats.closed_twin import twin_corners, twin_of, with_corners
from pourwright.steps.planning.kit_wish import wish_of
from pourwright.steps.print_files import print_files, printing_evaluator

BED = {"bed_mm": (220.0, 220.0, 250.0), "metadata": {"Title": "bushing"}}


def bushings() -> MouldDesign:
    part = Part(family="straight bushing", dimensions={"outer_diameter": 0.02, "height": 0.012, "bore": 0.006})
    resin, silicone = "urethane 80A", "platinum silicone 30A"
    project = Project(name="b", title="b", part=part, resin=resin, silicone=silicone, mould=MouldWish(cavities=2))
    wish = wish_of(project, Shop(), resin=load_material(resin), silicone=load_material(silicone))
    return STYLES["open with cover plate"].build(shape_of(part), wish, None)


def wavy() -> ImportedSolid:
    vertices, triangles = dome(across=48)
    return ImportedSolid(digest="dome", vertices_mm=vertices, triangles=triangles, name="dome", unit="mm")


def test_twin_and_print_files_of_a_second_process_are_those_made_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(large_part, "_LARGE_BYTES", {".stl": 0})
    file = tmp_path / "dome.stl"
    file.write_bytes(stl_bytes((wavy().vertices_mm, wavy().triangles)))
    design = bushings()
    with LargePart() as large:
        large.expect(file)
        large.begin_twin(wavy())
        corners, triangles = large.twin_corners()
        large.begin_print(design, {})
        beside = large.print_files(design, report=silent, **BED)
        assert large.print_files(bushings(), report=silent, **BED) is None  # another mould than the one begun
    here = twin_corners(wavy())
    assert np.array_equal(corners, here[0])
    assert np.array_equal(triangles, here[1])
    assert beside == print_files(design, printing_evaluator(design, {}), **BED)


def test_a_small_file_starts_no_second_process(tmp_path: Path) -> None:
    file = tmp_path / "dome.stl"
    file.write_bytes(stl_bytes((wavy().vertices_mm, wavy().triangles)))
    with LargePart() as large:
        large.expect(file)
        large.begin_twin(wavy())
        assert large.twin_corners() is None
        assert large.print_files(bushings(), report=silent, **BED) is None


def test_a_twin_by_corners_is_the_twin_and_turns_with_its_solid() -> None:
    solid = wavy()
    corners, triangles = twin_corners(solid)
    assert np.array_equal(with_corners(solid, corners, triangles).vertices_mm, twin_of(solid).vertices_mm)
    assert len(np.unique(corners)) == len(corners) < len(solid.vertices_mm)
