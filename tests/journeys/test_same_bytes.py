"""The same project gives the same bytes, in another process, on another day, in another folder."""

from __future__ import annotations

import json
import os
import shutil

from shop_runs import ShopFolder, snapshot


def test_make_in_a_fresh_process_and_another_folder_gives_every_byte_again(lidded, tmp_path) -> None:
    root = tmp_path / "another place"
    shutil.copytree(lidded.shop.root, root)
    out = root / "projects" / "mount" / "out"
    shutil.rmtree(out)
    # Neither hash seeds nor time zones nor languages may show.
    environment = {**os.environ, "PYTHONHASHSEED": "12345", "TZ": "Pacific/Auckland", "LC_ALL": "C", "LANG": "C"}
    done = ShopFolder(root).spawn("make", "mount", "--json", "--quiet", env=environment)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    first, again = snapshot(lidded.shop.out), snapshot(out)
    assert {name for name in first if first[name] != again.get(name)} == set()
    assert first.keys() == again.keys()
    assert {name.rpartition(".")[2] for name in first} >= {"3mf", "stl", "step", "pdf", "png", "svg", "json"}
    said, before = json.loads(done.stdout), lidded.run.answer
    assert said["pours"] == before["pours"]
    assert {**said["kit"], "seconds": None} == {**before["kit"], "seconds": None}


def test_making_again_in_the_same_process_changes_nothing(plain) -> None:
    before = snapshot(plain.shop.out)
    assert plain.shop.run("kit", "part", "--no-step").code == 0
    assert snapshot(plain.shop.out) == before


def test_what_a_person_wrote_is_never_touched(lidded) -> None:
    from pourwright.store.new_shop import example_files

    for name, content in example_files("parcel box").items():
        assert (lidded.shop.root / name).read_bytes() == content
