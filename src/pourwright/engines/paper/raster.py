"""Which triangle is seen at each point of a picture: the depth buffer, and what follows from it."""

from __future__ import annotations

import numpy as np
from numba import njit

NOTHING = -1
FLAT = 1e-6  # normals nearer than this are one
INSIDE = 1e-9  # a point on the edge between two triangles must belong to one of them


@njit(cache=True)
def _span(start, step, first, last):  # type: ignore[no-untyped-def]
    """The part of first..last in which start + k step is not below nought."""
    if step == 0.0:
        return (first, last) if start >= -INSIDE else (1.0, 0.0)
    edge = (-INSIDE - start) / step
    if step > 0.0:
        return max(first, edge), last
    return first, min(last, edge)


@njit(cache=True)
def nearest_triangle(corners, triangles, height, width):  # type: ignore[no-untyped-def]
    """Depth and number of the nearest triangle at each point's middle.

    Parameters
    ----------
    corners : points across, points down, depth towards the eye; (V, 3)
    triangles : (T, 3)

    Returns
    -------
    depth (height, width), -inf where nothing is; triangle (height, width), -1 where nothing is
    """
    depth = np.full((height, width), -np.inf, dtype=np.float32)
    owner = np.full((height, width), NOTHING, dtype=np.int32)
    for t in range(triangles.shape[0]):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        ax, ay, az = corners[a, 0], corners[a, 1], corners[a, 2]
        bx, by, bz = corners[b, 0], corners[b, 1], corners[b, 2]
        cx, cy, cz = corners[c, 0], corners[c, 1], corners[c, 2]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if twice == 0.0:
            continue
        x0 = max(0, int(np.ceil(min(ax, bx, cx) - 0.5)))
        x1 = min(width - 1, int(np.floor(max(ax, bx, cx) - 0.5)))
        y0 = max(0, int(np.ceil(min(ay, by, cy) - 0.5)))
        y1 = min(height - 1, int(np.floor(max(ay, by, cy) - 0.5)))
        # Shares of corners a and b, and the depth, are linear across: one step a point is enough.
        u_step, v_step = (by - cy) / twice, (cy - ay) / twice
        z_step = u_step * (az - cz) + v_step * (bz - cz)
        for y in range(y0, y1 + 1):
            px, py = x0 + 0.5, y + 0.5
            u0 = ((bx - px) * (cy - py) - (by - py) * (cx - px)) / twice
            v0 = ((cx - px) * (ay - py) - (cy - py) * (ax - px)) / twice
            z0 = cz + u0 * (az - cz) + v0 * (bz - cz)
            first, last = _span(u0, u_step, 0.0, float(x1 - x0))
            first, last = _span(v0, v_step, first, last)
            first, last = _span(1.0 - u0 - v0, -u_step - v_step, first, last)
            for k in range(int(np.ceil(first)), int(np.floor(last)) + 1):
                z = z0 + k * z_step
                if z > depth[y, x0 + k]:
                    depth[y, x0 + k] = z
                    owner[y, x0 + k] = t
    return depth, owner


@njit(cache=True)
def light_seen(corners, triangles, corner_normals, owner, lamps, ground, fine):  # type: ignore[no-untyped-def]
    """Light and slope at each point, from the corners' normals mixed by the place in the triangle.

    Parameters
    ----------
    corners, triangles : as for `nearest_triangle`
    corner_normals : across, down, towards the eye; (T, 3, 3)
    lamps : direction times strength, in the same axes; (L, 3)
    ground : the same for the light that comes from all sides above, with its floor last; (4,)
    fine : points a side of each pixel

    Returns
    -------
    light at each point; at each pixel's middle the slope of the surface, rise towards the eye across and down
    """
    height, width = owner.shape
    light = np.zeros((height, width), dtype=np.float32)
    slope = np.zeros((height // fine, width // fine, 2), dtype=np.float32)
    flat, flat_light, flat_slope = _flat_triangles(corner_normals, lamps, ground)
    middle = fine // 2
    for y in range(height):
        for x in range(width):
            t = owner[y, x]
            if t < 0:
                continue
            at_middle = y % fine == middle and x % fine == middle
            if flat[t]:
                light[y, x] = flat_light[t]
                if at_middle:
                    # One by one: to compile the assignment of a whole row takes seconds.
                    slope[y // fine, x // fine, 0] = flat_slope[t, 0]
                    slope[y // fine, x // fine, 1] = flat_slope[t, 1]
                continue
            a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
            ax, ay = corners[a, 0], corners[a, 1]
            bx, by = corners[b, 0], corners[b, 1]
            cx, cy = corners[c, 0], corners[c, 1]
            px, py = x + 0.5, y + 0.5
            per_twice = 1.0 / ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
            u = ((bx - px) * (cy - py) - (by - py) * (cx - px)) * per_twice
            v = ((cx - px) * (ay - py) - (cy - py) * (ax - px)) * per_twice
            w = 1.0 - u - v
            n0 = u * corner_normals[t, 0, 0] + v * corner_normals[t, 1, 0] + w * corner_normals[t, 2, 0]
            n1 = u * corner_normals[t, 0, 1] + v * corner_normals[t, 1, 1] + w * corner_normals[t, 2, 1]
            n2 = u * corner_normals[t, 0, 2] + v * corner_normals[t, 1, 2] + w * corner_normals[t, 2, 2]
            total, across, down = _lit(n0, n1, n2, lamps, ground)
            light[y, x] = total
            if at_middle:
                slope[y // fine, x // fine, 0] = across
                slope[y // fine, x // fine, 1] = down
    return light, slope


@njit(cache=True)
def _lit(n0, n1, n2, lamps, ground):  # type: ignore[no-untyped-def]
    """Light on a surface by its normal, and its slope across and down; a normal of no length gets none."""
    length = np.sqrt(n0 * n0 + n1 * n1 + n2 * n2)
    if length == 0.0:
        return 0.0, 0.0, 0.0
    n0, n1, n2 = n0 / length, n1 / length, n2 / length
    total = ground[3] + ground[0] * n0 + ground[1] * n1 + ground[2] * n2
    for k in range(lamps.shape[0]):
        total += max(0.0, lamps[k, 0] * n0 + lamps[k, 1] * n1 + lamps[k, 2] * n2)
    return total, -n0 / max(n2, 0.1), -n1 / max(n2, 0.1)


@njit(cache=True)
def _flat_triangles(corner_normals, lamps, ground):  # type: ignore[no-untyped-def]
    """Which triangles have one normal all over, with their light and slope: most points of a picture show one."""
    count = corner_normals.shape[0]
    flat = np.zeros(count, dtype=np.bool_)
    light = np.zeros(count, dtype=np.float32)
    slope = np.zeros((count, 2), dtype=np.float32)
    for t in range(count):
        same = True
        for i in range(3):
            here = corner_normals[t, 0, i]
            same = same and abs(corner_normals[t, 1, i] - here) < FLAT and abs(corner_normals[t, 2, i] - here) < FLAT
        if same:
            flat[t] = True
            light[t], slope[t, 0], slope[t, 1] = _lit(
                corner_normals[t, 0, 0], corner_normals[t, 0, 1], corner_normals[t, 0, 2], lamps, ground
            )
    return flat, light, slope


@njit(cache=True)
def line_strength(depth, owner, patch_of, body_of, step):  # type: ignore[no-untyped-def]
    """Where a line is due: 2 on the outline of a body, 1 on an edge or fold within it, else 0.

    An edge lies where the smooth patch changes, a fold where the depth jumps by more than `step` against
    the slope on either side. Both are read off what is seen, so no hidden line can show.
    """
    height, width = depth.shape
    out = np.zeros((height, width), dtype=np.uint8)
    for y in range(height):
        for x in range(width):
            here = owner[y, x]
            for k in range(2):
                dx, dy = (1, 0) if k == 0 else (0, 1)
                x2, y2 = x + dx, y + dy
                if x2 >= width or y2 >= height:
                    continue
                there = owner[y2, x2]
                if here == there:
                    continue
                found = 0
                if here < 0 or there < 0 or body_of[here] != body_of[there]:
                    found = 2
                elif patch_of[here] != patch_of[there]:
                    found = 1
                else:
                    jump = depth[y2, x2] - depth[y, x]
                    before = 0.0
                    if x - dx >= 0 and y - dy >= 0 and owner[y - dy, x - dx] >= 0:
                        before = depth[y, x] - depth[y - dy, x - dx]
                    after = jump
                    if x2 + dx < width and y2 + dy < height and owner[y2 + dy, x2 + dx] >= 0:
                        after = depth[y2 + dy, x2 + dx] - depth[y2, x2]
                    if abs(jump - before) > step and abs(jump - after) > step:
                        found = 1
                if found:
                    # The line belongs to the nearer side, so that it follows the thing in front.
                    if depth[y2, x2] > depth[y, x]:
                        out[y2, x2] = max(out[y2, x2], found)
                    else:
                        out[y, x] = max(out[y, x], found)
    return out


@njit(cache=True)
def thickened(lines, edge_radius, outline_radius):  # type: ignore[no-untyped-def]
    """Lines drawn out to discs of a radius in points; (h, w) bool."""
    height, width = lines.shape
    out = np.zeros((height, width), dtype=np.bool_)
    for y in range(height):
        for x in range(width):
            if lines[y, x] == 0:
                continue
            radius = outline_radius if lines[y, x] == 2 else edge_radius
            reach = int(radius)
            for dy in range(-reach, reach + 1):
                for dx in range(-reach, reach + 1):
                    if dx * dx + dy * dy <= radius * radius:
                        y2, x2 = y + dy, x + dx
                        if 0 <= y2 < height and 0 <= x2 < width:
                            out[y2, x2] = True
    return out


@njit(cache=True)
def openness(depth, slope, reach, fade):  # type: ignore[no-untyped-def]
    """How much of the sky each point sees, 0 to 1: what stands above its own plane near by takes light away.

    Parameters
    ----------
    depth : towards the eye, in points; (h, w)
    slope : of the surface at each point; (h, w, 2)
    reach : points, how far neighbours count
    fade : points of height beyond which a neighbour is another thing, farther away, and takes less
    """
    height, width = depth.shape
    out = np.ones((height, width), dtype=np.float32)
    turns, rings = 12, 4
    across = np.empty((turns, rings), dtype=np.int64)
    down = np.empty((turns, rings), dtype=np.int64)
    away = np.empty(rings)
    for j in range(rings):
        away[j] = reach * ((j + 1) / rings) ** 1.5
        for k in range(turns):
            # Rings are turned a little against each other, or they would show as bands.
            angle = 2.0 * np.pi * (k + 0.5) / turns + 0.4 * j
            across[k, j] = int(np.round(away[j] * np.cos(angle)))
            down[k, j] = int(np.round(away[j] * np.sin(angle)))
    for y in range(height):
        for x in range(width):
            z = depth[y, x]
            if z == -np.inf:
                continue
            taken = 0.0
            for k in range(turns):
                highest = 0.0
                for j in range(rings):
                    x2, y2 = x + across[k, j], y + down[k, j]
                    if x2 < 0 or y2 < 0 or x2 >= width or y2 >= height or depth[y2, x2] == -np.inf:
                        continue
                    plane = slope[y, x, 0] * across[k, j] + slope[y, x, 1] * down[k, j]
                    rise = depth[y2, x2] - z - plane - 0.05 * away[j]
                    if rise > 0.0:
                        part = rise / np.sqrt(rise * rise + away[j] * away[j])
                        if rise > fade:
                            part *= fade / rise
                        highest = max(highest, part)
                taken += highest
            out[y, x] = 1.0 - taken / turns
    return out


@njit(cache=True)
def mixed(  # type: ignore[no-untyped-def]
    fine,
    sky,
    colours,
    ink,
    veil_ink,
    veil,
    owner,
    body_of,
    light,
    lines,
    depth,
    g_owner,
    g_body_of,
    g_light,
    g_lines,
    g_depth,
):
    """The picture's pixels, 0 to 1: the mean over `fine` by `fine` points of colour, light and lines.

    What is see-through (g_...) lies over the rest with share `veil`, where it is in front.
    """
    height, width = sky.shape
    out = np.ones((height, width, 3), dtype=np.float32)
    share = 1.0 / (fine * fine)
    for py in range(height):
        for px in range(width):
            drawn = False
            for y in range(py * fine, (py + 1) * fine):
                for x in range(px * fine, (px + 1) * fine):
                    drawn = drawn or owner[y, x] >= 0 or lines[y, x] or g_owner[y, x] >= 0 or g_lines[y, x]
            if not drawn:
                continue
            out[py, px] = 0.0
            for y in range(py * fine, (py + 1) * fine):
                for x in range(px * fine, (px + 1) * fine):
                    t, g = owner[y, x], g_owner[y, x]
                    # What is brighter than full goes towards white, as on a matt print.
                    shade = light[y, x] * sky[py, px]
                    full, over = min(shade, 1.0), max(shade - 1.0, 0.0)
                    g_shade = min(g_light[y, x], 1.0)
                    front = g >= 0 and g_depth[y, x] > depth[y, x]
                    for c in range(3):
                        value = 1.0
                        if lines[y, x]:
                            value = ink[c]
                        elif t >= 0:
                            value = colours[body_of[t], c] * full
                            value += (1.0 - value) * over
                        if front:
                            value += (colours[g_body_of[g], c] * g_shade - value) * veil
                        if g_lines[y, x] and (front or t < 0):
                            value += (veil_ink[c] - value) * 0.65
                        out[py, px, c] += value * share
    return out
