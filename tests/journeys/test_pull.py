"""Parts from files in the attitude that their pull asks for, from the file to the answer."""

from __future__ import annotations

import numpy as np
import pytest

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Prism, polygon
from shop_runs import STOP, ShopFolder, shop

# Drawn standing on an edge: its flat faces look along y.
ROOF = Prism(polygon([(-15, 0), (15, 0), (15, 4), (-5, 12), (-15, 12)]), -8.0, 8.0)


def project(tmp_path, *wishes: dict) -> ShopFolder:
    made = shop(tmp_path, STOP, {"part": {"file": "roof.stl"}}, *wishes)
    (made.project.parent / "roof.stl").write_bytes(stl_bytes(Evaluator(MeshKernel(48)).mesh(ROOF)))
    return made


def test_the_answer_names_the_best_pull_and_why(tmp_path) -> None:
    told = project(tmp_path).run("kit", "part", "--no-step")
    assert told.code == 0, told.answer
    assert np.abs(told.answer["pull"]).max() == 1.0
    assert "lets go most easily" in told.answer["pull_reason"]


@pytest.mark.parametrize(("pull", "height"), [("as drawn", 16.0), ("x", 30.0), ("-y", 12.0), ([0, 2, 0], 12.0)])
def test_a_pull_that_is_asked_for_is_taken(pull: str | list[int], height: float, tmp_path) -> None:
    told = project(tmp_path, {"mould": {"pull": pull}}).run("kit", "part", "--no-step")
    assert told.code in (0, 1), told.answer
    assert all(proof["ok"] for proof in told.answer["proofs"])
    [pattern] = [body for body in told.answer["bodies"] if body["name"] == "pattern"]
    assert pattern["size_mm"][2] == pytest.approx(height * told.answer["scale"], rel=1e-4)


def test_a_family_takes_no_pull(tmp_path) -> None:
    told = shop(tmp_path, STOP, {"mould": {"pull": "x"}}).run("kit", "part", "--no-step")
    assert told.code == 2
    assert told.error["field"] == "mould.pull"
    assert "axis" in told.error["message"]
