"""From a mould to advice for its prints: which face down, overhangs, thin places, seam, filament, time and fits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.domain.estimate import Estimate
from pourwright.domain.printing import PrintAdvice, Printing
from pourwright.domain.shop import Printer, Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3
from pourwright.engines.process.printing import LINE_OVER_NOZZLE, filament_length, print_time, printed_plastic
from pourwright.steps.print_files import lay

VERSION = 1

# Low, best, high; all recalled from everyday prints (class default).
_SHELL_LINES = (2.0, 3.0, 4.0)
_DENSITY = (1040.0, 1240.0, 1270.0)  # kg/m3 of common filaments
_SPEED = (0.1, 0.05, 0.03)  # m/s, mean, corners and all; fast printers first
_PAUSE = (2.0, 5.0, 10.0)  # s a layer
_SUPPORT = (0.1, 0.15, 0.25)  # share of plastic in a support
_WASTE = (1.0, 1.03, 1.08)  # skirt, purge, ooze
_BOARD_INFILL = (0.15, 0.2, 0.4)  # what never meets silicone need not be solid
_THIN_SAMPLES = 2000
_TOUCH_MM = 0.03
_WORTH_TURNING = 0.02  # of the piece's volume: less support saved is not worth turning it (judgement)
_DOWN = {"": (0.0, 0.0, -1.0), "x 180": (0.0, 0.0, 1.0)}

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


def print_advice(design: MouldDesign, evaluator: Evaluator, shop: Shop, *, report: Report = silent) -> Printing:
    """Advice for every printed piece of a mould, as its file lies, and their sums.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel, best the one that proved the mould, for it remembers the solids.
    shop : for its first printer and its prices.
    """
    printer = shop.printers[0]
    silicone = _Silicone(design, evaluator)
    printed = [piece for piece in design.made if piece.printed]
    pieces = []
    for index, piece in enumerate(printed):
        report(index / len(printed), f"how to print the {piece.name}")
        pieces.append(_advice(piece, evaluator, silicone, printer, design.figures.get("infill", 1.0)))
    fit = design.figures.get("fit_mm", 0.0)
    filament, length, time = (
        _sum(tuple((getattr(one, key), one.count) for one in pieces)) for key in ("filament", "filament_length", "time")
    )
    report(1.0, "print advice ready")
    return Printing(
        pieces=tuple(pieces),
        line=printer.nozzle * LINE_OVER_NOZZLE,
        layer=printer.layer,
        fit=to_m(fit),
        play=2 * to_m(fit) - printer.hole_offset - printer.size_error,
        filament=filament,
        filament_length=length,
        time=time,
        cost=_cost(filament, time, shop),
        currency=shop.prices.currency,
        basis=_basis(printer),
    )


# ---------------------------------------------------------------- one piece


class _Silicone:
    """The silicone of a mould, asked which faces of a piece it copies."""

    def __init__(self, design: MouldDesign, evaluator: Evaluator) -> None:
        from pourwright.engines.geometry.probes.ray_tree import ray_tree

        halves = [design.lower, *([design.closing] if design.closing_is_silicone else [])]
        self._trees = [ray_tree(*evaluator.mesh(half)) for half in halves]

    def touches(self, piece: Piece, mesh: Mesh) -> NDArray[np.bool_]:
        """Triangles of the piece whose middle lies on silicone where its first copy stands."""
        from pourwright.engines.geometry.probes.ray_tree import nearest_points

        vertices, triangles = mesh
        if not piece.touches_silicone:
            return np.zeros(len(triangles), dtype=bool)
        x, y, z, turn = piece.places_mm[0]
        middles = vertices[triangles].mean(axis=1)
        if turn:
            angle = np.radians(turn)
            c, s = np.cos(angle), np.sin(angle)
            middles = middles @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
        middles = middles + np.array([x, y, z])
        within = np.full(len(middles), _TOUCH_MM)
        found = [nearest_points(tree, middles, within=within)[2] >= 0 for tree in self._trees]
        return np.asarray(np.any(found, axis=0))


def _advice(piece: Piece, evaluator: Evaluator, silicone: _Silicone, printer: Printer, infill: float) -> PrintAdvice:
    from pourwright.engines.geometry.probes.overhangs import best_faces_down, face_down, leaning_words
    from pourwright.engines.geometry.probes.printed_walls import thinnest_wall_mm
    from pourwright.engines.geometry.probes.seam_line import seam_line

    mesh = evaluator.mesh(piece.solid)
    clean = silicone.touches(piece, mesh)
    here = face_down(*mesh, _DOWN[piece.print_turn], clean=clean)
    volume = evaluator.volume(piece.solid)
    better = ""
    if not here.stands or here.cost_mm3 > _WORTH_TURNING * volume:
        best = best_faces_down(*mesh, clean=clean)[0]
        saves = here.cost_mm3 - best.cost_mm3 > _WORTH_TURNING * volume
        better = leaning_words(best.down) if best.stands and (saves or not here.stands) else ""
    thin = thinnest_wall_mm(*mesh, down=here.down, samples=_THIN_SAMPLES)
    seam = seam_line(*lay(piece, evaluator).mesh, clean)
    taken = _Taken(piece, volume, evaluator.area(piece.solid), here.support_mm3, here.height_mm)
    filament, length, time = taken.figures(printer, infill)
    return PrintAdvice(
        name=piece.name,
        count=len(piece.places_mm),
        face_down=leaning_words(here.down),
        better=better,
        contact=to_m2(here.contact_mm2),
        overhang=to_m2(here.overhang_mm2),
        bridged=to_m2(here.bridged_mm2),
        marked=to_m2(here.marked_mm2),
        support=to_m3(here.support_mm3),
        height=to_m(here.height_mm),
        clean=_clean_words(clean),
        thinnest=None if thin is None else to_m(thin),
        seam=(to_m(seam.x_mm), to_m(seam.y_mm)),
        seam_words=_seam_words(seam.edge_mm > 0, seam.free, bool(clean.any())),
        filament=filament,
        filament_length=length,
        time=time,
    )


def _clean_words(clean: NDArray[np.bool_]) -> str:
    if not clean.any():
        return "no face meets silicone"
    return "the faces that meet silicone: no support, no seam, fine layers where they show"


def _seam_words(edge: bool, free: bool, copied: bool) -> str:
    if edge and free:
        return "on an upright edge that meets no silicone"
    if edge:
        return "on an upright edge; silicone copies it, so sand it"
    return "one straight line at the back" + ("; silicone copies it, so sand it" if copied else "")


@dataclass(frozen=True)
class _Taken:
    """What one copy of a piece takes; volumes and areas mm."""

    piece: Piece
    volume_mm3: float
    area_mm2: float
    support_mm3: float
    height_mm: float

    def figures(self, printer: Printer, infill: float) -> tuple[Estimate, Estimate, Estimate]:
        """Filament kg and m, time s."""
        filled = self._infill(infill)
        line = printer.nozzle * LINE_OVER_NOZZLE
        masses, lengths, times = [], [], []
        for k in range(3):
            plastic = printed_plastic(
                volume=to_m3(self.volume_mm3),
                area=to_m2(self.area_mm2),
                shell=_SHELL_LINES[k] * line,
                infill=filled[k],
            )
            plastic = _WASTE[k] * (plastic + _SUPPORT[k] * to_m3(self.support_mm3))
            masses.append(plastic * _DENSITY[k])
            lengths.append(filament_length(plastic=plastic))
            times.append(
                print_time(
                    plastic=plastic,
                    height=to_m(self.height_mm),
                    line=line,
                    layer=printer.layer,
                    speed=_SPEED[k],
                    pause=_PAUSE[k],
                )
            )
        return _estimate(masses), _estimate(lengths), _estimate(times)

    def _infill(self, infill: float) -> tuple[float, float, float]:
        if self.piece.role == "pattern":
            return (infill, infill, infill) if not self.piece.solid_print else (1.0, 1.0, 1.0)
        return (1.0, 1.0, 1.0) if self.piece.touches_silicone else _BOARD_INFILL


def _estimate(values: list[float]) -> Estimate:
    return Estimate(low=values[0], best=values[1], high=values[2])


# ---------------------------------------------------------------- sums


def _sum(parts: tuple[tuple[Estimate, int], ...]) -> Estimate:
    return Estimate(
        low=sum(one.low * count for one, count in parts),
        best=sum(one.best * count for one, count in parts),
        high=sum(one.high * count for one, count in parts),
    )


def _cost(filament: Estimate, time: Estimate, shop: Shop) -> Estimate | None:
    per_kg, per_hour = shop.prices.filament_per_kg, shop.prices.print_hour
    if per_kg is None and per_hour is None:
        return None
    sums = [
        (per_kg or 0.0) * kg + (per_hour or 0.0) * seconds / 3600
        for kg, seconds in ((filament.low, time.low), (filament.best, time.best), (filament.high, time.high))
    ]
    return _estimate(sums)


def _basis(printer: Printer) -> tuple[str, ...]:
    line = 1e3 * printer.nozzle * LINE_OVER_NOZZLE
    return (
        f"skin of {_SHELL_LINES[0]:g} to {_SHELL_LINES[2]:g} lines of {line:.2g} mm, infill as on the print card, "
        f"what never meets silicone {_BOARD_INFILL[0]:.0%} to {_BOARD_INFILL[2]:.0%}",
        f"layers of {1e3 * printer.layer:.2g} mm, {1e3 * _SPEED[2]:.0f} to {1e3 * _SPEED[0]:.0f} mm/s on the mean, "
        f"{_PAUSE[0]:g} to {_PAUSE[2]:g} s more a layer",
        f"plastic of {_DENSITY[0] / 1e3:.2f} to {_DENSITY[2] / 1e3:.2f} g/cm³, 1.75 mm filament; class defaults: "
        "your slicer knows better",
    )
