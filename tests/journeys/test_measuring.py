"""A first pattern is measured before silicone is bought: go, no-go, correction, and the readings that stay."""

from __future__ import annotations

import json
import tomllib

import pytest

from shop_runs import STOP, run, shop, snapshot

TIGHT = {"tolerance": {"outer_diameter": "0.2 mm"}}


def size(answer, name):
    [found] = [one for one in answer["sizes"] if one["name"] == name]
    return found


def readings(centre_mm, *steps):
    return ",".join(f"{centre_mm + step:.2f}mm" for step in steps or (-0.02, 0.0, 0.02))


def printed_width(made):
    bodies = made.run("kit", "part", "--no-step").answer["bodies"]
    [pattern] = [body for body in bodies if body["role"] == "pattern"]
    return pattern["size_mm"][0]


@pytest.fixture
def tight(tmp_path):
    return shop(tmp_path / "shop", STOP, TIGHT)


def test_a_pattern_0_4_mm_under_is_no_go_and_its_correction_is_a_go(tight):
    before, first = printed_width(tight), tight.run("measure", "part")
    wanted = size(first.answer, "outer_diameter")["pattern_mm"]
    under = tight.run("measure", "part", "--pattern", f"outer_diameter={readings(wanted - 0.4)}")
    assert under.code == 1
    assert under.answer["verdict"] == "no-go"
    found = size(under.answer, "outer_diameter")
    assert found["best_mm"] == pytest.approx(24 - 0.4, abs=0.01)
    assert found["high_mm"] - found["low_mm"] < 0.2
    offset = under.answer["reprint"]["offsets_mm"]["outer_diameter"]
    assert offset == pytest.approx(0.4, abs=0.02)

    with tight.project.open("a") as file:
        file.write(f'[pattern.offsets]\nouter_diameter = "{offset} mm"\nbore = "0.2 mm"\n')
    again = tight.run("measure", "part")
    assert again.code == 0
    assert size(again.answer, "outer_diameter")["best_mm"] == pytest.approx(24, abs=0.01)
    assert "printer as measured" in size(again.answer, "outer_diameter")["shares"]
    drawn = [size(found.answer, "outer_diameter")["drawn_mm"] for found in (first, again)]
    assert printed_width(tight) / before == pytest.approx(drawn[1] / drawn[0], rel=1e-6)


def test_readings_are_added_behind_the_old_ones_and_the_kit_uses_the_last(tight):
    kept = tight.project.with_name("measured.toml")
    for centre in (24.5, 24.0):
        assert tight.run("measure", "part", "--pattern", f"outer_diameter={readings(centre)}").answer["saved"] == str(
            kept
        )
        before = kept.read_bytes()
    assert kept.read_bytes().startswith(before[: before.index(b"24.48")])
    entries = tomllib.loads(kept.read_text())["pattern"]
    assert [entry["readings"][1] for entry in entries] == ["24.5 mm", "24 mm"]
    assert entries[0]["on"].year > 2024
    kit = tight.run("kit", "part", "--no-step").answer
    assert size(kit, "outer_diameter")["measured_mm"] == pytest.approx(24.0)
    assert size(kit, "height")["measured_mm"] is None


def test_all_sizes_off_by_the_same_share_are_mended_by_one_factor(tight):
    wanted = {one["name"]: one["pattern_mm"] for one in tight.run("measure", "part").answer["sizes"]}
    words = [f"--pattern={name}={readings(0.99 * wanted[name])}" for name in ("outer_diameter", "height")]
    found = tight.run("measure", "part", *words)
    assert found.answer["reprint"]["scale"] == pytest.approx(1 / 0.99, abs=5e-4)
    assert found.answer["reprint"]["offsets_mm"] == {}


def test_readings_may_come_from_a_file(tight, tmp_path):
    file = tmp_path / "readings.toml"
    file.write_text('bore = ["6.01 mm", "6.02 mm"]\nresolution = "0.02 mm"\n')
    found = tight.run("measure", "part", "--file", str(file))
    assert size(found.answer, "bore")["measured_mm"] == pytest.approx(6.015)
    file.write_text('bor = ["6.01 mm"]\n')
    wrong = tight.run("measure", "part", "--file", str(file))
    assert (wrong.code, wrong.error["line"]) == (2, 1)
    assert "bore" in wrong.error["advice"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("outer_diamter=24mm", "outer_diameter"),
        ("outer_diameter=24", "write 24 mm"),
        ("outer_diameter", "outer_diameter="),
        ("outer_diameter=240mm", "unit"),
        ("outer_diameter=1e9mm", ""),
    ],
)
def test_a_slip_is_refused_and_nothing_is_written(tight, words, says):
    before = snapshot(tight.root)
    found = tight.run("measure", "part", "--pattern", words)
    assert found.code == 2
    assert says in found.error["advice"]
    assert snapshot(tight.root) == before


def test_a_broken_file_of_readings_is_told_with_its_line_and_left_alone(tight):
    kept = tight.project.with_name("measured.toml")
    kept.write_text('[[pattern]]\nsize = "bore"\nreadings = ["6 mm"]\ndrawn = "6 mm"\nresolution = "0.01"\n')
    found = tight.run("measure", "part", "--pattern", "bore=6.01mm")
    assert (found.code, found.error["file"]) == (2, "projects/part/measured.toml")
    lines = {one["line"] for one in found.answer["errors"]}
    assert lines == {1, 5}  # the instrument is missing, the resolution has no unit
    assert "6.01" not in kept.read_text()


def test_the_words_say_go_or_no_go_and_what_to_write(tight):
    found = tight.run("measure", "part", "--pattern", f"outer_diameter={readings(23.6)}", json_too=False)
    assert "NO-GO: outer diameter" in found.out
    assert "[pattern.offsets]" in found.out


def test_an_unknown_key_under_tolerance_names_the_sizes_of_the_part(tmp_path):
    wrong = shop(tmp_path / "shop", STOP, {"tolerance": {"bores": "0.1 mm"}})
    found = wrong.run("kit", "part", "--no-step")
    assert (found.code, found.error["field"]) == (2, "tolerance.bores")
    assert "bore" in found.error["advice"]


def test_every_size_of_the_example_is_told_by_kit_with_its_contract_keys(tmp_path):
    root = tmp_path / "shop"
    assert run("new", str(root), "--example", "parcel box").code == 0
    found = run("kit", "door-stop", "--no-step", "--json", "--shop", str(root))
    keys = {"name", "wanted_mm", "low_mm", "best_mm", "high_mm", "tolerance_mm", "verdict", "rests_on", "shares"}
    assert [one["name"] for one in found.answer["sizes"]] == ["outer_diameter", "height", "bore", "edge_radius"]
    assert all(keys <= set(one) for one in found.answer["sizes"])
    assert json.dumps(found.answer)
