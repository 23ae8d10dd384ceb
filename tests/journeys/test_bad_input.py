"""Bad input: exit code 2, one clear error with its place, nothing written, the person's files untouched."""

from __future__ import annotations

import io
import struct
import zipfile
from pathlib import Path

import pytest

from shop_runs import SHOP, STOP, run, shop, snapshot, write


def bushing(**keys: str) -> dict:
    whole = {"outer_diameter": "24 mm", "height": "14 mm", "bore": "6 mm", **keys}
    return {"part": {"family": "straight bushing", **{key: value for key, value in whole.items() if value is not None}}}


PROJECT = "projects/part/project.toml"
# name: (what is laid over the project, field, words of the message, words of the advice)
REFUSED = {
    "larger than the bed": (bushing(outer_diameter="300 mm"), "part", "printer's bed", "make the part smaller"),
    "higher than the printer": (bushing(height="300 mm"), "part", "printer's bed", "make the part smaller"),
    "bore wider than the part": (bushing(bore="25 mm"), "part.bore", "bore (25 mm)", "smaller than 24 mm"),
    "radius larger than the edge": (bushing(edge_radius="9 mm"), "part.edge_radius", "edge_radius of 9 mm", "or less"),
    "no size": (bushing(outer_diameter="0 mm"), "part.outer_diameter", "0 mm", "from 1 mm"),
    "negative size": (bushing(height="-14 mm"), "part.height", "-14 mm", "from 0.5 mm"),
    "misspelt key": (bushing(boer="6 mm"), "part.boer", "no such key", "did you mean bore?"),
    "misspelt family": ({"part": {"family": "straigt bushing"}}, "part.family", "straigt", "straight bushing"),
    "misspelt resin": ({"resin": {"material": "urethane 80"}}, "resin.material", "urethane 80", "urethane 80A"),
    "misspelt style": ({"mould": {"style": "two-part liddet"}}, "mould.style", "liddet", "two-part lidded"),
    "a silicone as the resin": (
        {"resin": {"material": "platinum silicone 30A"}}, "resin.material", "is a silicone", "urethane"
    ),
    "a pressure as a length": (bushing(height="14 psi"), "part.height", "is a pressure", "2.5 mm"),
    "a decimal comma": (bushing(height="2,5 mm"), "part.height", "a comma", "write 2.5 mm"),
    "arithmetic": (bushing(height="9**9**9"), "part.height", "no arithmetic", "work it out"),
    "nothing": (bushing(height=""), "part.height", "nothing is written", "write a length"),
    "no unit": (bushing(height="14"), "part.height", "no unit", "write 14 mm"),
    "a mark for inches": (bushing(height='1.5"'), "part.height", "a mark", "1.5 in"),
    "more than the pot's marking": ({"mould": {"pressure": "61 psi"}}, "mould.pressure", "60 psi", "60 psi or less"),
    "too little silicone": ({"mould": {"wall": "1 mm"}}, "mould.wall", "too thin", "3 mm or more"),
    "half a cavity": ({"mould": {"cavities": 1.5}}, "mould.cavities", "1.5", ""),
    "no cavity": ({"mould": {"cavities": 0}}, "mould.cavities", "0", "from 1"),
    "no such file": ({"part": {"file": "clip.step"}}, None, "clip.step", ""),
}  # fmt: skip


@pytest.mark.parametrize("why", REFUSED)
def test_what_cannot_be_is_refused_at_its_line(why: str, tmp_path) -> None:
    project, field, message, advice = REFUSED[why]
    made = shop(tmp_path, STOP, project)
    before = snapshot(tmp_path)
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2
    assert snapshot(tmp_path) == before
    error = told.error
    assert message in f"{error['message']} {error['value']} {error['file']}"
    assert advice in error["advice"]
    assert error["advice"]
    if field is not None:
        assert error["file"] == PROJECT
        assert error["field"] == field
        last = field.rpartition(".")[2]
        line = made.project.read_text().splitlines()[error["line"] - 1]
        assert line.startswith((last, f"[{last}]"))


def test_the_same_words_reach_a_person_on_standard_error(tmp_path) -> None:
    told = shop(tmp_path, STOP, bushing(height="2,5 mm")).run("make", "part", json_too=False)
    assert told.code == 2
    assert told.out == ""
    assert told.err.splitlines()[-1].startswith(f"{PROJECT}:4: part.height: a comma stands in '2,5 mm'; ")
    assert "Traceback" not in told.err


def test_several_mistakes_are_told_in_one_go(tmp_path) -> None:
    told = shop(tmp_path, STOP, bushing(height="14 psi", bore="")).run("kit", "part")
    assert [error["field"] for error in told.answer["errors"]] == ["part.height", "part.bore"]


def test_a_part_larger_than_the_pot_says_how_much_is_missing(tmp_path) -> None:
    toml = SHOP.replace('inside_height = "280 mm"', 'inside_height = "40 mm"')
    told = shop(tmp_path, STOP, {"mould": {"pressure": "45 psi"}}, toml=toml).run("kit", "part", "--no-step")
    assert told.code == 2
    assert "more than the pot's inside height" in told.error["message"]
    assert told.error["file"] == PROJECT


def test_a_pressure_without_a_marked_pot_is_planned_as_none_and_told(tmp_path) -> None:
    wished = shop(tmp_path / "wished", STOP, {"mould": {"pressure": "5 psi"}}, toml="").run("kit", "part", "--no-step")
    plain = shop(tmp_path / "plain", STOP, toml="").run("kit", "part", "--no-step")
    assert wished.code == plain.code == 0
    assert wished.answer["wells_mm3"] == plain.answer["wells_mm3"]
    (told,) = (check for check in wished.answer["checks"] if check["name"] == "mould pressure")
    assert not told["ok"]
    assert told["value"] == 0.0
    assert "rated_pressure" in told["advice"]


def test_a_missing_project_a_missing_shop_and_broken_files_are_told(tmp_path) -> None:
    made = shop(tmp_path / "shop", STOP)
    assert made.run("kit", "prat").error["advice"].find("part") >= 0
    nowhere = run("kit", "part", "--shop", str(tmp_path / "nowhere"), "--json")
    assert (nowhere.code, "pourwright new" in nowhere.error["advice"]) == (2, True)
    empty = run("kit", "part", "--shop", str(tmp_path), "--json")
    assert (empty.code, "no shop folder" in empty.error["message"]) == (2, True)
    write(made.project, '[part]\nfamily = "straight bushing\n')
    broken = made.run("kit", "part")
    assert (broken.code, broken.error["file"], broken.error["line"]) == (2, PROJECT, 2)
    write(made.root / "shop.toml", "[[printer]\n")
    assert made.run("kit", "part").error["file"] == "shop.toml"


def test_a_poured_mass_that_is_none_is_refused(tmp_path) -> None:
    made = shop(tmp_path, STOP)
    for mass, words in (("3 mm", "is a length"), ("0 g", "cannot have been poured"), ("-5 g", ""), ("", "nothing")):
        told = made.run("pours", "part", f"--poured-a={mass}")
        assert told.code == 2
        assert words in told.error["message"]


# ---------------------------------------------------------------- solids from files


def stl(triangles: list) -> bytes:
    body = b"".join(struct.pack("<12fH", 0, 0, 0, *(c for p in t for c in p), 0) for t in triangles)
    return b"\0" * 80 + struct.pack("<I", len(triangles)) + body


def block(low: tuple, high: tuple) -> list:
    x, y, z = zip(low, high, strict=True)
    p = [(a, b, c) for c in z for b in y for a in x]
    quads = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    return [t for a, b, c, d in quads for t in ((p[a], p[b], p[c]), (p[a], p[c], p[d]))]


def archive(entries: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in entries.items():
            packed.writestr(name, content)
    return out.getvalue()


CUBE = block((0, 0, 0), (20, 20, 20))
# One corner of the lid pulled down through the bottom: closed, and it crosses itself.
CROSSING = [tuple((8, 8, -10) if p == (20, 20, 20) else p for p in t) for t in CUBE]
STEP_HEAD = b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
SOLIDS = {
    "leaking.stl": (stl(CUBE[:-1]), "not closed"),
    "crossing.stl": (stl(CROSSING), ""),
    "empty.stl": (b"", "empty"),
    "empty.step": (b"", "empty"),
    "truncated.step": (STEP_HEAD, ""),
    "nozip.3mf": (b"this is no archive", "zip"),
    "bomb.3mf": (archive({"3D/3dmodel.model": b"\0" * 300_000_000}), ""),
    "part.obj": (b"v 0 0 0\n", "not read"),
}


@pytest.mark.parametrize("name", SOLIDS)
def test_a_file_that_is_no_closed_solid_is_refused_by_name(name: str, tmp_path) -> None:
    content, words = SOLIDS[name]
    made = shop(tmp_path, STOP, {"part": {"file": name}})
    write(made.project.parent / name, content)
    before = snapshot(tmp_path)
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2, told.out
    assert snapshot(tmp_path) == before
    assert told.error["file"] == name
    assert words in told.error["message"]
    assert told.error["advice"]


def test_the_closed_twin_of_the_leaking_cube_is_read(tmp_path) -> None:
    made = shop(tmp_path, STOP, {"part": {"file": "cube.stl"}})
    write(made.project.parent / "cube.stl", stl(CUBE))
    told = made.run("kit", "part", "--no-step")
    assert told.answer["part_mm3"] == pytest.approx(8000, rel=1e-6)
    assert told.check("mould fit check")["ok"]


def test_a_truncated_step_file_is_refused(tmp_path, lidded) -> None:
    whole = (lidded.shop.out / "mould.step").read_bytes()
    made = shop(tmp_path, STOP, {"part": {"file": "half.step"}})
    write(made.project.parent / "half.step", whole[: len(whole) // 2])
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2
    assert told.error["file"] == "half.step"


def test_a_step_file_of_several_solids_is_refused_with_their_number(tmp_path, lidded) -> None:
    made = shop(tmp_path, STOP, {"part": {"file": "mould.step"}})
    write(made.project.parent / "mould.step", (lidded.shop.out / "mould.step").read_bytes())
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2
    assert "solids" in told.error["message"]


# ---------------------------------------------------------------- new


def test_new_leaves_a_folder_with_something_in_it_alone(tmp_path) -> None:
    write(tmp_path / "mine" / "notes.txt", "mine")
    before = snapshot(tmp_path)
    told = run("new", str(tmp_path / "mine"), "--json")
    assert told.code == 2
    assert snapshot(tmp_path) == before
    assert run("new", str(tmp_path / "x"), "--example", "parcle box", "--json").error["advice"].find("parcel box") >= 0
    assert not Path(tmp_path / "x").exists()
