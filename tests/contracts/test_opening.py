"""Whether the halves let the part go: every family does; a ring of silicone through a part is refused, with help."""

from __future__ import annotations

import pytest

from awkward_solids import linked_hook
from family_parts import SIZED, example
from pourwright.catalogue.checks.silicone_lets_go import NAME
from pourwright.catalogue.moulds.style import STYLES, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Box, Node, Revolve, Turned, cylinder, polygon
from pourwright.steps.studies.opening import blocked_in
from pourwright.steps.studies.study_cell import pulled_study
from shop_runs import STOP, shop
from solid_kits import moulded, solid_of

WISH = StyleWish(cavities=1, scale=1.0)
# A post with a hole of 8 mm across it: pulled along the post, silicone in the hole links the half to the part.
POST = Box(-10, -10, 0, 10, 10, 24) - Turned(cylinder(radius_mm=4, z0_mm=-20, z1_mm=20), "y", 90).at(0, 0, 12)
HOLE_MM3 = 1005.3  # π · 4² · 20


def kit(tmp_path, node: Node, **mould):
    made = shop(tmp_path, STOP, {"part": {"file": "part.stl"}}, {"mould": mould} if mould else {})
    (made.project.parent / "part.stl").write_bytes(stl_bytes(Evaluator(MeshKernel(48)).mesh(node)))
    return made.run("kit", "part", "--no-step")


def check_of(answer) -> dict:
    [found] = [check for check in answer["checks"] if check["name"] == NAME]
    return found


@pytest.mark.parametrize("name", SIZED)
def test_the_example_of_every_family_lets_go_in_the_style_taken(name: str) -> None:
    shape = example(name)
    design = STYLES[choose_style(shape, WISH).style].build(shape, WISH, None)
    study = pulled_study(design, Evaluator(MeshKernel(48)))
    assert blocked_in(study, volume_mm3=design.figures["part_volume_mm3"], allowed=WISH.stretch_allowed) == []
    assert not any(piece.runs_through for piece in study.held)


def test_a_bar_of_silicone_through_the_part_is_refused_and_another_pull_is_named(tmp_path) -> None:
    told = kit(tmp_path, POST, pull="z")
    assert told.code == 1
    opening = told.answer["opening"]
    assert not opening["opens"]
    scale = told.answer["scale"] ** 3
    assert opening["runs_through_mm3"] == pytest.approx(HOLE_MM3 * scale, rel=0.02)
    [bar] = opening["held"]
    assert bar["runs_through"]
    x, y, z = bar["at_in_file_mm"]
    assert abs(y) <= 4.1
    assert 7.9 <= z <= 16.1
    assert abs(x) < 1.0  # the deepest place is half way through
    ways = opening["ways_out"]
    assert ways["pull"]["pull"] in ([1.0, 0.0, 0.0], [-1.0, 0.0, 0.0])
    assert ways["pull"]["runs_through_mm3"] == 0.0
    assert 'pull = "' in check_of(told.answer)["advice"]
    [mark] = tmp_path.rglob("NOT-PROVEN.txt")
    assert "would run through the part" in mark.read_text()


def test_the_pull_that_is_named_makes_a_kit_whose_silicone_lets_go(tmp_path) -> None:
    opening = kit(tmp_path, POST, pull="x").answer["opening"]
    assert opening["opens"]
    assert opening["held"] == []
    assert opening["ways_out"] is None


def test_a_part_that_no_pull_frees_is_refused_and_the_least_bad_is_told_with_its_figures(tmp_path) -> None:
    told = kit(tmp_path, linked_hook())
    assert told.code == 1
    ways = told.answer["opening"]["ways_out"]
    assert ways["pull"] is None
    assert ways["style"] is None
    assert ways["silicones"] == []
    least = ways["least_bad"]
    held = least["undercut_lower_mm3"] + least["undercut_upper_mm3"]
    # A straight hole of 10 mm through the eye of 6 mm: less than that cannot be in the way.
    assert held == pytest.approx(471.2, rel=0.03)
    assert least["runs_through_mm3"] == pytest.approx(held, rel=0.01)
    advice = check_of(told.answer)["advice"]
    assert "Least bad: pulled along" in advice
    assert "two pieces" in advice
    assert f"{held:.0f} mm³ run through it as bars" in advice


def test_where_the_silicone_is_too_stiff_the_style_and_the_silicones_that_would_do_are_named(tmp_path) -> None:
    spool = {"family": "waisted bushing", "outer_diameter": "24 mm", "waist_diameter": "9 mm", "height": "40 mm"}
    wish = {"part": spool, "mould": {"style": "two-part lidded"}}
    told = shop(tmp_path, {**STOP, **wish}).run("kit", "part", "--no-step")
    assert told.code == 1
    opening = told.answer["opening"]
    assert opening["stretch"]["lower"] == pytest.approx(24 / 9, rel=0.05)
    assert opening["stretch_allowed"] == pytest.approx(2.5)
    assert opening["ways_out"]["style"] == "two-part side-parted"
    assert "platinum silicone 10A" in opening["ways_out"]["silicones"]
    assert "platinum silicone 40A" not in opening["ways_out"]["silicones"]
    assert any("What would help" in check["advice"] for check in told.answer["checks"])


# ---------------------------------------------------------------- which way, and how high


def test_a_mould_too_high_for_the_pot_names_a_pull_along_which_it_fits(tmp_path) -> None:
    tall = Box(-8, -8, 0, 8, 8, 70)
    made = shop(tmp_path, STOP, {"part": {"file": "part.stl"}, "mould": {"pull": "z", "pressure": "30 psi"}})
    text = (made.root / "shop.toml").read_text().replace("280 mm", "90 mm")
    (made.root / "shop.toml").write_text(text)
    (made.project.parent / "part.stl").write_bytes(stl_bytes(Evaluator(MeshKernel(48)).mesh(tall)))
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2
    assert "inside height" in told.error["message"]
    assert told.error["field"] == "mould.pull"
    assert told.error["value"] in ('"x"', '"y"')
    written = told.error["value"].strip('"')
    made.project.write_text(made.project.read_text().replace('pull = "z"', f'pull = "{written}"'))
    assert made.run("kit", "part", "--no-step").code in (0, 1)


@pytest.mark.parametrize("chamfer_mm", [0.0155, 0.3])
def test_a_tiny_chamfer_at_the_widest_face_is_no_piece_of_the_pattern(chamfer_mm: float) -> None:
    taper = Revolve(polygon([(0, 0), (15 - chamfer_mm, 0), (15, chamfer_mm), (11, 12), (0, 12)]))
    found = moulded(solid_of(taper), pull=(0, 0, 1), style="two-part lidded", cavities=1)
    assert found.facts.turned
    assert found.facts.parting_mm == pytest.approx(12.0, abs=1e-9)
    assert [piece.name for piece in found.design.pieces if piece.role == "pattern"] == ["pattern"]
    assert found.failed() == []


def test_a_chamfer_that_is_thick_enough_is_parted_at_its_edge_and_stands_in_a_pocket() -> None:
    taper = Revolve(polygon([(0, 0), (14, 0), (15, 1), (11, 12), (0, 12)]))
    found = moulded(solid_of(taper), pull=(0, 0, 1), style="two-part lidded", cavities=1)
    assert found.facts.parting_mm == pytest.approx(11.0, abs=1e-6)
    assert found.design.pattern_scheme == "pocket"
    assert found.failed() == []
