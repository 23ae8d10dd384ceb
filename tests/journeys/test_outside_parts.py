"""Solids that nobody here drew, made into kits: moulds that can be made are proven, the others refused in words."""

from __future__ import annotations

import shutil

import pytest

from outside import SINGLES, outside_mesh, outside_single, outside_solid
from shop_runs import STOP, Run, ShopFolder, shop, snapshot

pytestmark = pytest.mark.outside


def project(tmp_path, name: str, *wishes: dict) -> ShopFolder:
    """A shop with one part made of an outside solid: a file as it is, one of an assembly, or a mesh made 40 mm long."""
    if name in SINGLES:
        source = outside_single(name, tmp_path)
    elif name.endswith((".off", ".ply")):
        source = outside_mesh(name, tmp_path)
    else:
        source = outside_solid(name)
    made = shop(tmp_path / "shop", STOP, {"part": {"file": source.name}}, *wishes)
    shutil.copy(source, made.project.parent / source.name)
    return made


def proven(told: Run) -> bool:
    return told.check("mould fit check")["ok"] and all(proof["ok"] for proof in told.answer["proofs"])


# Licences: gmsh GPL-2+, occt-import-js LGPL-2.1, pyvista MIT, libcgal-demo GPL-3+/LGPL-3+ (origin of its data not
# itemised). Paths inside the packages stand in outside.py.
REAL = (
    "t13_data.stl", "object.stl", "io1-cm-214.stp", "component8.step", "rounded-cube.step", "sg1-c5-214.stp",
    "nut", "rod", "bolt", "bracket", "plate",
    "joint.off", "spool.off", "pinion.off", "rotor.off", "handle.off", "couplingdown.off", "anchor.off",
    "fandisk.off", "part.off", "dragknob.off", "pipe.off", "bear_bis.off", "blobby.off", "oblong.off", "hand.off",
)  # fmt: skip


# The plate is 180 mm long: with the usual 10 mm of silicone beside it its box is 0.6 mm too wide for the bed.
WISHES = {"plate": {"mould": {"wall": "9 mm"}}}


@pytest.mark.parametrize("name", REAL)
def test_a_real_solid_becomes_a_mould_whose_identities_hold(name: str, tmp_path) -> None:
    made = project(tmp_path, name, WISHES.get(name, {}))
    told = made.run("kit", "part", "--no-step")
    assert told.code in (0, 1), told.answer.get("error")
    assert proven(told), told.failed()
    kit = told.answer
    parts = kit["scale"] ** 3 * kit["part_mm3"]
    # A metal rod is drawn a few hundredths of a millimetre wider than the bore that it fills.
    rods = any(body["role"] == "core rod" for body in kit["bodies"])
    assert kit["cavity_mm3"] == pytest.approx(parts + kit["vents_mm3"] + kit["wells_mm3"], rel=2e-3 if rods else 1e-9)
    assert (made.out / "print" / "kit.3mf").exists()
    # What is wrong with a mould that a checks fails stands beside it, in words.
    assert (told.code == 1) == bool(told.failed())
    assert all(check["advice"] for check in kit["checks"] if not check["ok"])


@pytest.mark.parametrize("name", ["object.stl", "io1-cm-214.stp", "component8.step", "rounded-cube.step"])
def test_a_real_solid_in_any_attitude_is_proven(name: str, tmp_path) -> None:
    pull = [1, 2, 3]
    told = project(tmp_path, name, {"mould": {"pull": pull}}).run("kit", "part", "--no-step")
    assert told.code in (0, 1), told.answer["error"]
    assert proven(told)
    along = sum(a * b for a, b in zip(told.answer["pull"], pull, strict=True))
    assert abs(along) == pytest.approx(14**0.5, rel=1e-6)
    assert told.answer["pull_reason"] == "asked for"


def test_several_of_a_real_solid_in_one_mould_are_proven_too(tmp_path) -> None:
    told = project(tmp_path, "object.stl", {"mould": {"cavities": 4}}).run("kit", "part", "--no-step")
    assert told.code == 0
    assert proven(told)
    assert told.answer["cavities"] == 4


def test_everything_is_made_of_a_file_of_exact_faces(tmp_path) -> None:
    made = project(tmp_path, "rounded-cube.step")
    told = made.run("make", "part")
    assert told.code in (0, 1)
    assert told.answer["kit"]["proofs"][0]["ok"]
    assert "bench-sheet-a4.pdf" in told.answer["files"]
    # Exact files are given when the exact kernel proves the mould as well, and refused in words when it cannot.
    checks = {check["name"]: check for check in told.answer["kit"]["checks"]}
    if "exact files" in checks:
        assert "no STEP files" in checks["exact files"]["advice"]
        assert "kit.step" not in told.answer["files"]
    else:
        assert told.answer["kit"]["kernel"].startswith("OCCT")
        assert "kit.step" in told.answer["files"]


def test_a_file_of_triangles_comes_without_step_files_and_says_so(tmp_path) -> None:
    made = project(tmp_path, "object.stl")
    told = made.run("kit", "part")
    assert told.code == 0
    assert not list(made.out.rglob("*.step"))
    assert (made.out / "print" / "kit.3mf").exists()


def test_a_long_bore_in_a_solid_from_a_file_fails_by_name(tmp_path) -> None:
    soft = {"mould": {"pull": "as drawn", "bore_core": "silicone"}}
    told = project(tmp_path, "sg1-c5-214.stp", soft).run("kit", "part", "--no-step")
    assert told.code == 1
    assert told.failed() == ["bore core"]
    assert told.answer["pull"] in ([0.0, 0.0, 1.0], [0.0, 0.0, -1.0])
    assert told.answer["proofs"][0]["ok"]


def test_a_rod_in_a_real_solid_without_a_bore_along_the_pull_is_refused(tmp_path) -> None:
    told = project(tmp_path, "rounded-cube.step", {"mould": {"bore_core": "rod"}}).run("kit", "part", "--no-step")
    assert told.code == 2
    assert told.error["field"] == "mould.bore_core"
    assert "no round bore" in told.error["message"]


REFUSED = {
    "aneurysm_data.stl": "116 open edges",
    "terrain_stl_data.stl": "not closed",
    "surface1.stl": "not closed",
    "as1-tu-203.stp": "18 solids",
    "as1-oc-214.stp": "18 solids",
    "dm1-oc-214.stp": "7 solids",
    "cube-m.step": "too large for the printer's bed",
    "airplane.ply": "216 open edges round 9 holes",
    "ant.ply": "15 shells",
    "open_cube.off": "4 open edges round 1 hole",
    "corner_with_hole.off": "4 open edges round 1 hole",
    "pig.off": "55 open edges round 7 holes",
    "knot2.off": "2 separate bodies",
    "bones.off": "26 shells",
    "cube-shuffled.off": "at 9 edges two triangles face opposite ways",
    "blobby-shuffled.off": "3,069 edges two triangles face opposite ways",
    "degtri_sliding.off": "6 open edges round 1 hole",
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_no_mould_can_be_made_of_is_refused_with_the_reason(name: str, tmp_path) -> None:
    made = project(tmp_path, name)
    before = snapshot(made.root)
    told = made.run("make", "part")
    assert told.code == 2
    assert REFUSED[name] in told.error["message"]
    assert told.error["advice"]
    assert told.error["file"]
    assert snapshot(made.root) == before
