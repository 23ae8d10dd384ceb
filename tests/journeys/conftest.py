"""Shops that several journeys look at; each is made once."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from shop_runs import STOP, Run, ShopFolder, run, shop


@dataclass(frozen=True)
class Made:
    """A shop, and what the command that filled its out/ gave."""

    shop: ShopFolder
    run: Run


@dataclass(frozen=True)
class Mount(ShopFolder):
    """The example's main project."""

    @property
    def out(self):
        return self.root / "projects" / "mount" / "out"


@pytest.fixture(scope="session")
def lidded(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The example's mount, made with everything: four cavities, two-part lidded."""
    root = tmp_path_factory.mktemp("lidded") / "shop"
    assert run("new", str(root), "--example", "parcel box").code == 0
    mount = Mount(root)
    return Made(mount, mount.run("make", "mount"))


@pytest.fixture(scope="session")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Two small stops in the open style, print files only."""
    stop = shop(tmp_path_factory.mktemp("plain") / "shop", STOP, {"mould": {"cavities": 2}})
    return Made(stop, stop.run("kit", "part", "--no-step"))
