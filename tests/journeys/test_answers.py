"""What --json promises of a kit and its pours, on a lidded kit with everything and on a plain open one."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from shop_runs import STOP, only_object, run, shop

KIT_KEYS = {
    "project", "style", "cavities", "kernel", "scale", "part_mm3", "cavity_mm3", "vents_mm3", "wells_mm3",
    "silicone_lower_mm3", "silicone_lid_mm3", "box_inside_mm", "bodies", "stretch", "undercut_mm3", "thinnest_lip_mm",
    "release_area_cm2", "air", "checks", "seconds",
}  # fmt: skip
POUR_KEYS = {
    "name", "material", "volume_ml", "total_g", "a_g", "b_g", "ratio_basis", "ratio_error_percent",
    "smallest_batch_g", "stop_scale_at_g", "clock_min",
}  # fmt: skip
ROLES = {
    "pattern", "base", "wall", "bridge", "well former", "vent rod", "cover plate", "press board", "levelling board",
    "core rod", "lower half", "lid", "cavity",
}  # fmt: skip


@pytest.fixture(params=["lidded", "plain"])
def kit(request: pytest.FixtureRequest) -> dict:
    made = request.getfixturevalue(request.param)
    return made.run.answer["kit"] if request.param == "lidded" else made.run.answer


def test_both_kits_are_made_and_well(lidded, plain) -> None:
    assert lidded.run.code == 0
    assert plain.run.code == 0
    assert lidded.run.answer["kit"]["style"] == "two-part lidded"
    assert plain.run.answer["style"] == "open with cover plate"


def test_a_kit_has_every_key_of_the_contract(kit: dict) -> None:
    assert kit.keys() >= KIT_KEYS
    assert kit["stretch"].keys() >= {"lower", "lid", "allowed"}
    assert kit["air"].keys() >= {"trapped_mm3", "worst_tilt_trapped_mm3", "vents"}
    for body in kit["bodies"]:
        assert body.keys() >= {"name", "role", "count", "volume_mm3", "watertight", "files"}
    for check in kit["checks"]:
        assert check.keys() >= {"name", "ok", "value", "limit", "unit", "advice"}
        assert check["ok"] in (True, False)
    assert kit["seconds"]["total"] > 0


def test_every_body_has_a_role_of_the_contract_and_is_closed(kit: dict) -> None:
    assert {body["role"] for body in kit["bodies"]} <= ROLES
    assert all(body["watertight"] for body in kit["bodies"])
    assert all(body["count"] >= 1 and body["volume_mm3"] > 0 for body in kit["bodies"])


def test_the_cavity_is_the_scaled_parts_and_what_resin_fills_of_vents_and_wells(kit: dict) -> None:
    parts = kit["cavities"] * kit["scale"] ** 3 * kit["part_mm3"]
    # The vents rise into the wells' floors without overlapping them.
    assert kit["cavity_mm3"] == pytest.approx(parts + kit["vents_mm3"] + kit["wells_mm3"], rel=1e-9)


def test_silicone_and_cavity_are_the_volumes_of_their_bodies(kit: dict) -> None:
    one = {body["role"]: body for body in kit["bodies"]}
    assert one["cavity"]["volume_mm3"] == pytest.approx(kit["cavity_mm3"], rel=1e-9)
    assert one["lower half"]["volume_mm3"] == pytest.approx(kit["silicone_lower_mm3"], rel=1e-9)
    if "lid" in one:
        assert one["lid"]["volume_mm3"] == pytest.approx(kit["silicone_lid_mm3"], rel=1e-9)


def test_a_lidded_box_holds_both_halves_and_the_cavity(lidded) -> None:
    kit = lidded.run.answer["kit"]
    filled = kit["silicone_lower_mm3"] + kit["silicone_lid_mm3"] + kit["cavity_mm3"]
    assert filled == pytest.approx(kit["box_inside_mm3"], rel=1e-9)


def test_a_style_without_a_lid_has_no_lid_and_nothing_to_release(plain) -> None:
    kit = plain.run.answer
    assert kit["silicone_lid_mm3"] == 0
    assert kit["release_area_cm2"] == 0
    assert kit["stretch"]["lid"] is None
    assert {"lid", "bridge"}.isdisjoint(body["role"] for body in kit["bodies"])


def test_the_part_is_as_drawn_and_the_pattern_larger_by_the_shrink(plain) -> None:
    kit = plain.run.answer
    # Pappus: an annulus of 24 and 6 mm, 14 high, its two outer edges rounded by 0.5 mm.
    pi, r = 3.141592653589793, 0.5
    missing = r * r * (1 - pi / 4)
    centroid = 12 - r + r * (1 - (10 - 3 * pi) / (12 - 3 * pi))
    assert kit["part_mm3"] == pytest.approx(pi * (12**2 - 3**2) * 14 - 2 * 2 * pi * centroid * missing, rel=1e-7)
    assert kit["scale"] > 1


def test_volumes_of_bodies_are_of_one_piece_each(plain, tmp_path) -> None:
    single = shop(tmp_path, STOP).run("kit", "part", "--no-step").answer
    two = plain.run.answer
    [one_pattern] = [body for body in single["bodies"] if body["role"] == "pattern"]
    [pattern] = [body for body in two["bodies"] if body["role"] == "pattern"]
    assert (one_pattern["count"], pattern["count"]) == (1, 2)
    assert pattern["volume_mm3"] == pytest.approx(one_pattern["volume_mm3"], rel=1e-9)
    assert two["part_mm3"] == pytest.approx(single["part_mm3"], rel=1e-12)


def test_no_step_says_mesh_and_writes_no_step(plain) -> None:
    assert plain.run.answer["kernel"].startswith("manifold3d")
    assert not list(plain.shop.out.rglob("*.step"))


def test_with_step_all_volumes_come_from_the_exact_kernel_and_agree_with_the_mesh(lidded, tmp_path) -> None:
    kit = lidded.run.answer["kit"]
    assert kit["kernel"].startswith("OCCT")
    shutil.copytree(lidded.shop.root, tmp_path / "shop")
    mesh = run("kit", "mount", "--no-step", "--json", "--shop", str(tmp_path / "shop"))
    for key in ("part_mm3", "cavity_mm3", "silicone_lower_mm3", "silicone_lid_mm3"):
        assert kit[key] == pytest.approx(mesh.answer[key], rel=1e-6), key


def test_the_files_named_are_there_and_no_others(lidded, plain) -> None:
    for made, files in ((lidded, lidded.run.answer["files"]), (plain, None)):
        kit = json.loads((made.shop.out / "kit.json").read_text())
        named = {name for body in kit["bodies"] for name in body["files"]}
        assert named
        for name in named:
            assert (made.shop.out / name).stat().st_size > 0
        if files is not None and made is plain:
            there = {path.relative_to(made.shop.out).as_posix() for path in made.shop.out.rglob("*") if path.is_file()}
            assert there == set(files)


def test_every_printed_body_has_its_stl_and_stands_in_the_3mf(lidded) -> None:
    for body in lidded.run.answer["kit"]["bodies"]:
        if body["printed"]:
            assert any(name.endswith(".stl") for name in body["files"]), body["name"]
            assert "print/kit.3mf" in body["files"]


def test_pours_have_every_key_of_the_contract(lidded) -> None:
    pours = lidded.run.answer["pours"]["pours"]
    assert [pour["name"] for pour in pours] == ["silicone lower half", "silicone lid", "cast"]
    for pour in pours:
        assert pour.keys() >= POUR_KEYS
        assert pour["a_g"] + pour["b_g"] == pytest.approx(pour["total_g"], rel=1e-12)
        assert pour["stop_scale_at_g"] == sorted(pour["stop_scale_at_g"])
        assert pour["ratio_basis"] in ("weight", "volume")


def test_the_volumes_to_pour_are_those_of_the_kit(lidded) -> None:
    kit, pours = lidded.run.answer["kit"], lidded.run.answer["pours"]["pours"]
    poured = {pour["name"]: 1e3 * pour["volume_ml"] for pour in pours}
    assert poured["silicone lower half"] == pytest.approx(kit["silicone_lower_mm3"], rel=1e-12)
    assert poured["silicone lid"] == pytest.approx(kit["silicone_lid_mm3"], rel=1e-12)
    assert poured["cast"] == pytest.approx(kit["cavity_mm3"], rel=1e-12)


def test_total_is_what_the_mould_takes_and_the_larger_of_seven_percent_and_ten_grams(lidded) -> None:
    for pour in lidded.run.answer["pours"]["pours"]:
        takes = pour["volume_ml"] * pour["density_g_per_ml"]
        assert pour["total_g"] == pytest.approx(takes + max(0.07 * takes, 10.0), rel=1e-12)


def test_ratio_error_and_smallest_batch_follow_from_the_scale(lidded) -> None:
    # The example's scale reads and repeats 0.1 g: 100 (r/2 + 2s)(1/A + 1/B), and 100 counts of the smaller part.
    for pour in lidded.run.answer["pours"]["pours"]:
        worst = 100 * (0.05 + 0.2) * (1 / pour["a_g"] + 1 / pour["b_g"])
        assert pour["ratio_error_percent"] == pytest.approx(worst, rel=1e-9)
        a, b = pour["ratio"]
        assert pour["smallest_batch_g"] == pytest.approx(10.0 * (a + b) / min(a, b), rel=1e-9)


def test_make_writes_print_files_pictures_and_sheets(lidded) -> None:
    files = set(lidded.run.answer["files"])
    assert {"bench-sheet-a4.pdf", "bench-sheet-letter.pdf", "kit.step", "mould.step", "print/kit.3mf"} <= files
    assert {"pictures/kit.svg", "pictures/section.svg", "pictures/release-map.png", "pictures/apart.svg"} <= files
    assert (lidded.shop.out / "bench-sheet-a4.pdf").read_bytes().startswith(b"%PDF-")


def test_the_kit_answer_says_how_it_comes_apart(lidded) -> None:
    told = lidded.run.answer["kit"]["assembly"]
    assert told["ok"]
    assert [stage["name"] for stage in told["stages"]] == ["pour 1", "pour 2", "cast closed"]
    assert all(one["ok"] and one["blocked_mm2"] == 0 for one in told["removals"])
    assert {"base", "lid", "overflow"} <= {one["piece"] for one in told["removals"]}
    assert min(one["play_mm"] for one in told["fits"] if one["play_mm"] is not None) >= 0.099


def test_what_is_not_built_yet_is_null(lidded) -> None:
    assert lidded.run.answer["forecast"] is None


def test_the_kit_file_in_out_says_what_the_command_said(lidded) -> None:
    written = json.loads((lidded.shop.out / "kit.json").read_text())
    said = dict(lidded.run.answer["kit"])
    assert {**written, "seconds": None} == {**said, "seconds": None}


def test_json_stands_alone_on_standard_output_and_progress_on_standard_error(lidded) -> None:
    assert only_object(lidded.run.out) == lidded.run.answer
    assert "100 %" in lidded.run.err


def test_quiet_says_nothing_on_standard_error(plain) -> None:
    quiet = plain.shop.run("pours", "part", "--quiet")
    assert quiet.code == 0
    assert quiet.err == ""
    assert plain.shop.run("pours", "part", "--quiet").out == quiet.out


def test_without_json_a_person_reads_words(plain) -> None:
    told = plain.shop.run("pours", "part", json_too=False)
    assert told.code == 0
    assert "stop the scale at" in told.out
    assert not told.out.lstrip().startswith("{")


def test_new_and_schema_answer_in_json_too(tmp_path) -> None:
    made = run("new", str(tmp_path / "shop"), "--json")
    assert made.code == 0
    assert set(made.answer["files"]) >= {"shop.toml", "projects/first/project.toml"}
    schemas = run("schema", str(tmp_path / "schemas"), "--json")
    assert schemas.code == 0
    assert all(json.loads(Path(path).read_text())["type"] == "object" for path in schemas.answer["files"])


def test_a_fault_of_ours_is_exit_4_and_words(plain, tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    def stumble(*_: object, **__: object) -> None:
        raise ZeroDivisionError("oops")

    monkeypatch.setattr("pourwright.app.workbench.make_kit", stumble)
    fault = plain.shop.run("pours", "part")
    assert fault.code == 4
    assert "ZeroDivisionError: oops" in fault.error["message"]
    [details] = tmp_path.iterdir()
    assert str(details) in fault.error["advice"]
    assert "Traceback" in details.read_text()
