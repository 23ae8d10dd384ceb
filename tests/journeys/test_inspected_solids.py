"""Solids that are hard to mould, from a file to a scheme or an honest no, as a person meets it."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from awkward_solids import bellows, linked_hook, waisted_knob
from loose_meshes import VERTICAL, block
from mesh_bodies import domed_cavity, meshed
from pourwright.engines.geometry.files.write import stl_bytes
from shop_runs import STOP, run, shop, snapshot, write

SOLIDS = {
    "knob": waisted_knob,
    "hook": linked_hook,
    "bellows": bellows,
    "soft bellows": lambda: bellows(crest_mm=11.0),
    "domed": domed_cavity,
}


@pytest.fixture(scope="module")
def inspected(tmp_path_factory):
    """Each awkward solid inspected once, with its picture: the answer by name."""
    folder = tmp_path_factory.mktemp("solids")
    answers = {}
    for name, solid in SOLIDS.items():
        file, picture = folder / f"{name}.stl", folder / f"{name}.svg"
        file.write_bytes(stl_bytes(meshed(solid(), 64)))
        told = run("inspect", str(file), "--picture", str(picture), "--json")
        assert told.code == 0
        answers[name] = told.answer | {"drawn": picture.read_text(encoding="utf-8")}
    return answers


def test_a_knob_with_a_waist_opens_across_its_axis_with_nothing_in_the_way(inspected) -> None:
    knob = inspected["knob"]
    assert knob["verdict"]["opens"]
    assert knob["best_pull"][2] == pytest.approx(0.0, abs=1e-9)
    assert knob["undercut_mm3"] == pytest.approx(0.0, abs=1.0)
    along = next(way for way in knob["runners_up"] if abs(way["direction"][2]) > 0.999)
    # Pulled along its axis the waist of 8 mm must pass the foot of 12 mm.
    assert along["stretch"] == pytest.approx(12 / 8, rel=2e-3)
    assert "is in the way" in along["why"]


def test_the_pocket_of_air_in_the_foot_of_a_knob_is_listed_with_place_and_volume(inspected) -> None:
    knob = inspected["knob"]
    (trap,) = knob["traps"]
    assert trap["volume_mm3"] == pytest.approx(knob["trapped_mm3"], rel=1e-9)
    assert trap["depth_mm"] == pytest.approx(4.0, abs=0.1)
    x, y, z = trap["at_mm"]
    assert (x**2 + y**2) ** 0.5 == pytest.approx(12.0, abs=0.1)
    assert 0.0 <= z <= 4.0
    assert knob["best_tilt_trapped_mm3"] < 0.95 * knob["trapped_mm3"]


def test_a_hook_with_an_eye_at_each_end_is_an_honest_no_with_what_blocks_it(inspected) -> None:
    hook = inspected["hook"]
    assert not hook["verdict"]["opens"]
    assert "would run through the part" in hook["verdict"]["reasons"][0]
    assert any("loose core" in advice for advice in hook["verdict"]["advice"])
    # The eye lies across the pull: a bar as long as the eye is thick, 25 pi x 6 mm, but for the stem's end in it.
    assert hook["runs_through_mm3"] == pytest.approx(25 * 3.14159 * 6, rel=0.03)
    assert all(way["runs_through_mm3"] > 0.1 * hook["volume_mm3"] for way in hook["runners_up"])
    assert "a bar of silicone would run right through here" in hook["drawn"]


def test_deep_folds_of_a_bellows_ask_more_than_the_silicone_gives_and_shallow_ones_do_not(inspected) -> None:
    deep, shallow = inspected["bellows"], inspected["soft bellows"]
    assert not deep["verdict"]["opens"]
    assert shallow["verdict"]["opens"]
    # The core's bulge of 12.8 mm must pass a neck of 7.8 mm, of 9.8 mm where the folds are shallow.
    assert max(piece["stretch"] for piece in deep["held"]) == pytest.approx((12.8 / 7.8) ** 2, rel=0.03)
    assert max(piece["stretch"] for piece in shallow["held"]) == pytest.approx((9.8 / 7.8) ** 2, rel=0.03)
    assert deep["thinnest_mm"] < 1.2


def test_a_softer_silicone_lets_deep_folds_go(tmp_path) -> None:
    file = tmp_path / "bellows.stl"
    file.write_bytes(stl_bytes(meshed(bellows(), 64)))
    stiff = run("inspect", str(file), "--json").answer
    soft = run("inspect", str(file), "--silicone", "platinum silicone 10A", "--json").answer
    assert (stiff["silicone"], stiff["silicone_assumed"]) == ("platinum silicone 30A", True)
    assert (soft["silicone"], soft["silicone_assumed"]) == ("platinum silicone 10A", False)
    assert stiff["stretch_allowed"] == pytest.approx(1 + 4.5 / 3)
    assert soft["stretch_allowed"] == pytest.approx(1 + 7.5 / 3)
    assert (stiff["verdict"]["opens"], soft["verdict"]["opens"]) == (False, True)


def test_the_way_up_that_traps_less_is_chosen_and_the_other_is_told(inspected) -> None:
    domed = inspected["domed"]
    assert domed["way_up"] == pytest.approx([0, 0, -1])
    assert domed["trapped_mm3"] == pytest.approx(0.0, abs=1e-6)
    # Dome up, the blind bore of 4 mm radius is higher and vented: what stays is the half ball, 144 pi.
    assert domed["other_way_up"]["trapped_mm3"] == pytest.approx(144 * 3.14159, rel=5e-3)


def test_the_halves_add_up_and_the_picture_is_whole(inspected) -> None:
    for answer in inspected.values():
        assert answer["undercut_lower_mm3"] + answer["undercut_upper_mm3"] == pytest.approx(answer["undercut_mm3"])
        assert answer["stretch"] == max(answer["stretch_lower"], answer["stretch_upper"])
        assert answer["worst_tilt_trapped_mm3"] >= answer["trapped_mm3"] >= answer["best_tilt_trapped_mm3"]
        assert answer["worst_tilt_deg"] <= 10.0
        assert 2 <= len(answer["runners_up"]) <= 4
        assert all(way["why"] for way in answer["runners_up"])
        root = ET.fromstring(answer["drawn"])
        words = " ".join(text.text or "" for text in root.iter("{http://www.w3.org/2000/svg}text"))
        assert "parting line" in words
        assert "thinnest wall" in words
        assert len(list(root.iter("{http://www.w3.org/2000/svg}image"))) == 2


def test_nothing_is_written_unless_a_picture_is_asked_for_and_its_bytes_are_the_same_each_time(tmp_path) -> None:
    file = tmp_path / "knob.stl"
    file.write_bytes(stl_bytes(meshed(waisted_knob(), 32)))
    before = snapshot(tmp_path)
    assert run("inspect", str(file)).code == 0
    assert snapshot(tmp_path) == before
    drawn = []
    for name in ("one.svg", "two.svg"):
        assert run("inspect", str(file), "--picture", str(tmp_path / name)).code == 0
        drawn.append((tmp_path / name).read_bytes())
    assert drawn[0] == drawn[1]


def test_a_persons_words_say_what_the_json_says(tmp_path) -> None:
    file = tmp_path / "hook.stl"
    file.write_bytes(stl_bytes(meshed(linked_hook(), 32)))
    words = run("inspect", str(file)).out
    for part in ("Two-part mould    no; least bad", "right through the part", "next best", "Trapped air", "at worst"):
        assert part in words


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--silicone", "urethane 80A"), "is no silicone"),
        (("--silicone", "platinum silicone 35A"), "platinum silicone 35A"),
        (("--picture", "part.jpeg"), "drawn as SVG"),
    ],
)
def test_a_silicone_or_picture_that_cannot_be_is_refused(options, message, tmp_path) -> None:
    file = tmp_path / "part.stl"
    file.write_bytes(stl_bytes(block()))
    told = run("inspect", str(file), *options, "--json")
    assert told.code == 2
    assert message in told.error["message"]
    assert told.error["advice"]


def test_an_own_sheet_of_the_shop_says_what_its_silicone_stands(tmp_path) -> None:
    made = shop(tmp_path)
    sheet = 'name = "bench soft"\nclass = "platinum silicone 20A"\nelongation = "900 %"\n'
    write(made.root / "materials" / "bench-soft.toml", sheet)
    file = tmp_path / "part.stl"
    file.write_bytes(stl_bytes(block()))
    told = made.run("inspect", str(file), "--silicone", "bench soft")
    assert told.code == 0
    assert told.answer["stretch_allowed"] == pytest.approx(4.0)


def test_a_solid_that_leaks_is_refused_and_no_picture_is_left(tmp_path) -> None:
    vertices, triangles = block()
    file = tmp_path / "open.stl"
    file.write_bytes(stl_bytes((vertices, [face for k, face in enumerate(triangles.tolist()) if k != VERTICAL])))
    before = snapshot(tmp_path)
    told = run("inspect", str(file), "--picture", str(tmp_path / "open.svg"), "--json")
    assert told.code == 2
    assert "not closed" in told.error["message"] or "open" in told.error["message"]
    assert snapshot(tmp_path) == before


# ---------------------------------------------------------------- from a file to a mould, or a refusal with its picture


def moulded_part(tmp_path, solid, command: str, *wishes: dict):
    made = shop(tmp_path, STOP, {"part": {"file": "part.stl"}}, *wishes)
    (made.project.parent / "part.stl").write_bytes(stl_bytes(meshed(solid, 48)))
    return made, made.run(command, "part", *(["--no-step"] if command == "kit" else []))


def test_a_knob_with_a_waist_becomes_a_mould_whose_silicone_lets_go(tmp_path) -> None:
    _, told = moulded_part(tmp_path, waisted_knob(), "kit")
    assert told.code == 0, told.failed()
    assert told.answer["opening"]["opens"]
    assert told.answer["opening"]["pattern"] in ("split", "pocket")


def test_a_hook_that_no_pull_frees_is_refused_with_the_picture_of_what_blocks(tmp_path) -> None:
    made, told = moulded_part(tmp_path, linked_hook(), "make")
    assert told.code == 1
    drawn = (made.out / "pictures" / "held.svg").read_text(encoding="utf-8")
    ET.fromstring(drawn)
    assert "a bar of silicone would run right through here" in drawn
    assert "Does not open" in drawn
    assert "runs through" in drawn


def test_a_bellows_with_thin_walls_is_refused_with_what_would_help(tmp_path) -> None:
    _, told = moulded_part(tmp_path, bellows(), "kit")
    assert told.code == 2
    assert "vent rod" in told.error["message"]
    assert told.error["advice"]
