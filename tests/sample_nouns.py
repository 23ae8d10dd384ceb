"""Plausible nouns of two finished kits, open and lidded, for whatever shows or stores them."""

from __future__ import annotations

from dataclasses import replace

from pourwright.catalogue.materials.own_sheet import load_material
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Body, Identity, Kit, Proof
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.pours import MouldVolumes, Pours
from pourwright.domain.shop import Pot, Prices, Shop
from pourwright.steps.make_pours import Materials, make_pours

OPEN = "open with cover plate"
LIDDED = "two-part lidded"
ONE_PART = "one-part open"
SIDE = "two-part side-parted"


def sample_project(style: str = OPEN, *, title: str = "Parcel-box mount") -> Project:
    """Four taper bushings (open) or barrels (lidded) at 45 psi."""
    family = "barrel bushing" if style in (LIDDED, SIDE) else "taper bushing"
    return Project(
        name="parcel-box-mount",
        title=title,
        part=Part(family=family, dimensions={"outer_diameter": 24e-3, "height": 15e-3, "bore": 9.5e-3}),
        resin="urethane 80A",
        silicone="platinum silicone 30A",
        mould=MouldWish(style=style, cavities=4, pressure=3.1e5),
        assumed=("mould.infill", "part.edge_radius"),
    )


def sample_shop() -> Shop:
    """A pot, prices and the usual scale."""
    return Shop(
        pot=Pot(
            inside_diameter=0.25,
            inside_height=0.24,
            volume=10e-3,
            rated_pressure=5.5e5,
            relief_pressure=5.0e5,
            inspected_on="2025-03-01",
        ),
        prices=Prices(currency="EUR", per_kg={"urethane 80A": 32.0, "platinum silicone 30A": 38.0}),
        assumed=("room.temperature", "room.humidity", "printer[0].bed", "scale.capacity"),
    )


def sample_materials() -> Materials:
    """Two classes without a sheet of their own."""
    return Materials(resin=load_material("urethane 80A"), silicone=load_material("platinum silicone 30A"))


def sample_kit(style: str = OPEN) -> Kit:
    """A proven kit; the figures are those of the reference kits, rounded."""
    lidded = style in (LIDDED, SIDE)
    return Kit(
        project="parcel-box-mount",
        style=style,
        style_reason="The part has one flat full-width face that may carry the trim line."
        if not lidded
        else "The upper edge is rounded, so no flat face covers the part's shadow.",
        cavities=4,
        kernel="mesh",
        scale=1.006,
        part_volume=4.65e-6,
        cavity_volume=20.53e-6,
        vents_volume=0.13e-6,
        wells_volume=1.44e-6,
        silicone_lower_volume=115.4e-6,
        silicone_lid_volume=53.9e-6 if lidded else 0.0,
        box_inside=(76.3e-3, 76.3e-3, 29.1e-3),
        box_outside=(82.3e-3, 82.3e-3, 41.1e-3),
        bodies=_bodies(lidded),
        stretch={"lower": 1.2, "lid": 1.05 if lidded else None, "allowed": 2.0},
        undercut_volume=0.0,
        thinnest_lip=6.4e-3,
        release_area=3.323e-3 if lidded else 0.0,
        release_groups={"parting": 2.4e-3, "keys": 0.3e-3, "tongue": 0.6e-3} if lidded else {},
        air={"trapped": 0.0, "vents": 12},
        checks=(
            CheckResult(name="thinnest silicone lip", ok=True, value=6.4, limit=1.5, unit="mm"),
            CheckResult(
                name="bore core",
                ok=False,
                severity="caution",
                value=1.6,
                limit=1.5,
                unit="length over diameter",
                advice="fill slowly from the middle so that the core is not pushed aside",
            ),
        ),
        proofs=(
            Proof(
                kernel="mesh",
                fuzzy=0.0,
                volumes={},
                areas={},
                bodies={},
                identities=(Identity(name="cavity is parts and voids", value=1e-18, bound=1e-15, ok=True),),
            ),
        ),
        layout=((-0.016, -0.016), (0.016, -0.016), (-0.016, 0.016), (0.016, 0.016)),
    )


def failed_kit(style: str = OPEN) -> Kit:
    """The same with a feather lip: not to be poured."""
    kit = sample_kit(style)
    lip = CheckResult(
        name="thinnest silicone lip",
        ok=False,
        value=0.2,
        limit=1.5,
        unit="mm",
        advice="part the mould where the edge radius begins, or give the mouth a sharp edge",
    )
    return replace(kit, checks=(lip, *kit.checks[1:]))


def sample_pours(kit: Kit, project: Project | None = None, shop: Shop | None = None) -> Pours:
    """What to weigh for a kit."""
    volumes = MouldVolumes(lower_half=kit.silicone_lower_volume, lid=kit.silicone_lid_volume, cavity=kit.cavity_volume)
    return make_pours(volumes, project or sample_project(kit.style), shop or sample_shop(), sample_materials())


def _bodies(lidded: bool) -> tuple[Body, ...]:
    def piece(name: str, role: str, count: int, *size_mm: float, note: str = "") -> Body:
        return Body(
            name=name,
            role=role,  # type: ignore[arg-type]
            count=count,
            shape_key=name,
            volume=1e-6,
            size=(size_mm[0] / 1e3, size_mm[1] / 1e3, size_mm[2] / 1e3),
            printed=True,
            watertight=True,
            print_note=note,
            files=(f"{name.replace(' ', '-')}.3mf",),
        )

    both = (
        piece("base", "base", 1, 98.2, 98.2, 12.0, note="flange down; holes for M3 screws"),
        piece("wall", "wall", 2, 82.3, 82.3, 41.1, note="standing on its end; the second is the first, turned"),
        piece("levelling board", "levelling board", 1, 98.2, 98.2, 6.0),
    )
    if not lidded:
        pattern = piece("pattern", "pattern", 4, 24.1, 24.1, 14.7, note="cut face down; solid")
        return (pattern, *both, piece("cover plate", "cover plate", 1, 76.1, 76.1, 6.0))
    return (
        piece("lower pattern", "pattern", 4, 24.1, 24.1, 9.6, note="cut face down; solid"),
        piece("upper pattern", "pattern", 4, 24.1, 24.1, 8.4, note="cut face down; solid, with seats for the rods"),
        *both,
        piece("bridge bar", "bridge", 1, 92.0, 60.0, 14.0, note="carries the well formers"),
        piece("press board", "press board", 1, 82.3, 82.3, 10.0),
        piece("packing board", "levelling board", 1, 76.1, 76.1, 6.0),
    )
