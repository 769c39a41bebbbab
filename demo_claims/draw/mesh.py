"""Shapes made of triangles: metres, z up. Every shape is a `Mesh`; `join` puts them together."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from demo_claims.draw.raster import Array, cross, unit

Point = tuple[float, float, float]


@dataclass
class Mesh:
    points: Array
    normals: Array
    uv: Array
    triangles: NDArray[np.int32]
    material: NDArray[np.int32]  # per triangle

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Mesh:
        return replace(self, points=self.points + np.array([x, y, z]))

    def turned(self, axis: str, degrees: float) -> Mesh:
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        i, j = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]

        def turn(v: Array) -> Array:
            out = v.copy()
            out[:, i] = v[:, i] * c - v[:, j] * s
            out[:, j] = v[:, i] * s + v[:, j] * c
            return out

        return replace(self, points=turn(self.points), normals=turn(self.normals))

    def scaled(self, x: float, y: float, z: float) -> Mesh:
        n = self.normals / np.array([x, y, z])
        length = np.sqrt((n * n).sum(axis=1, keepdims=True))
        return replace(
            self, points=self.points * np.array([x, y, z]), normals=n / np.maximum(length, 1e-12)
        )

    def bent(self, displace: Callable[[Array], Array]) -> Mesh:
        """Move every point by a function of the points; normals are computed afresh."""
        points = self.points + displace(self.points)
        return replace(self, points=points, normals=smooth_normals(points, self.triangles))

    def painted(self, material: int) -> Mesh:
        return replace(self, material=np.full(len(self.triangles), material, dtype=np.int32))

    def cut(self, keep: Callable[[Array], NDArray[np.bool_]], whole_cells: bool = False) -> Mesh:
        """Drop the triangles whose uv centre is refused: tears, holes, broken glass.

        `whole_cells` keeps or drops the two triangles of a sheet's cell together.
        """
        centres = self.uv[self.triangles].mean(axis=1)
        if whole_cells:
            half = len(centres) // 2
            middle = (centres[:half] + centres[half:]) / 2
            centres = np.concatenate([middle, middle])
        kept = keep(centres)
        return replace(self, triangles=self.triangles[kept], material=self.material[kept])


def smooth_normals(points: Array, triangles: NDArray[np.int32]) -> Array:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    face = cross(b - a, c - a)
    total = np.zeros_like(points)
    for k in range(3):
        np.add.at(total, triangles[:, k], face)
    length = np.sqrt((total * total).sum(axis=1, keepdims=True))
    return total / np.maximum(length, 1e-12)


def join(parts: Sequence[Mesh]) -> Mesh:
    offset, triangles = 0, []
    for part in parts:
        triangles.append(part.triangles + offset)
        offset += len(part.points)
    return Mesh(
        np.concatenate([p.points for p in parts]),
        np.concatenate([p.normals for p in parts]),
        np.concatenate([p.uv for p in parts]),
        np.concatenate(triangles).astype(np.int32),
        np.concatenate([p.material for p in parts]),
    )


def _grid_triangles(rows: int, columns: int) -> NDArray[np.int32]:
    r, c = np.meshgrid(np.arange(rows - 1), np.arange(columns - 1), indexing="ij")
    a = (r * columns + c).ravel()
    return np.concatenate(
        [
            np.stack([a, a + 1, a + columns], axis=1),
            np.stack([a + 1, a + columns + 1, a + columns], axis=1),
        ]
    ).astype(np.int32)


def sheet(
    corner: Point, along: Point, up: Point, material: int, cells: tuple[int, int] = (1, 1)
) -> Mesh:
    """A flat parallelogram; uv runs 0..1 along the two edges (v is 0 at the corner)."""
    n, m = cells
    u, v = np.meshgrid(np.linspace(0, 1, n + 1), np.linspace(0, 1, m + 1))
    u, v = u.ravel(), v.ravel()
    a, b = np.asarray(along, dtype=np.float64), np.asarray(up, dtype=np.float64)
    points = np.asarray(corner, dtype=np.float64) + u[:, None] * a + v[:, None] * b
    normals = np.broadcast_to(unit(cross(a, b)), points.shape).copy()
    triangles = _grid_triangles(m + 1, n + 1)
    return Mesh(
        points,
        normals,
        np.stack([u, v], axis=1),
        triangles,
        np.full(len(triangles), material, dtype=np.int32),
    )


def box(size: Point, material: int, bevel: float = 0.004) -> Mesh:
    """A box with rounded edges, centred on x and y, standing on z = 0; uv 0..1 on each face."""
    half = np.array(size) / 2
    bevel = min(bevel, float(half.min()) * 0.6)
    parts = []
    # Along each edge: the side a point belongs to, and how far its normal leans over the rounding.
    line = [(-1.0, 1.0), (-1.0, 0.55), (-1.0, 0.0), (1.0, 0.0), (1.0, 0.55), (1.0, 1.0)]
    for axis in range(3):
        for sign in (-1.0, 1.0):
            i, j = (axis + 1) % 3, (axis + 2) % 3
            flat_i, flat_j = half[i] - bevel, half[j] - bevel
            points, normals, uv = [], [], []
            for sj, oj in line:
                for si, oi in line:
                    n = np.zeros(3)
                    n[axis], n[i], n[j] = sign, si * oi, sj * oj
                    n = unit(n)
                    p = np.zeros(3)
                    p[axis], p[i], p[j] = sign * (half[axis] - bevel), si * flat_i, sj * flat_j
                    p = p + n * bevel
                    points.append(p)
                    normals.append(n)
                    uv.append((0.5 + sign * p[i] / (2 * half[i]), 0.5 + p[j] / (2 * half[j])))
            triangles = _grid_triangles(6, 6)
            parts.append(
                Mesh(
                    np.array(points),
                    np.array(normals),
                    np.array(uv),
                    triangles,
                    np.full(len(triangles), material, dtype=np.int32),
                )
            )
    return join(parts).moved(z=size[2] / 2)


def lathe(profile: Sequence[tuple[float, float]], material: int, sides: int = 28) -> Mesh:
    """Turn a profile of (radius, height) about z; corners stay sharp, each span is its own strip."""
    angles = [2 * math.pi * k / sides for k in range(sides + 1)]
    ring = np.array([(math.cos(a), math.sin(a)) for a in angles])
    parts = []
    for (r0, z0), (r1, z1) in pairwise(profile):
        length = math.sqrt((r1 - r0) ** 2 + (z1 - z0) ** 2)
        if length < 1e-9:
            continue
        nr, nz = (z1 - z0) / length, (r0 - r1) / length
        low = np.column_stack([ring * r0, np.full(sides + 1, z0)])
        high = np.column_stack([ring * r1, np.full(sides + 1, z1)])
        normals = np.column_stack([ring * nr, np.full(sides + 1, nz)])
        u = np.linspace(0, 1, sides + 1)
        triangles = _grid_triangles(2, sides + 1)
        if r0 == 0.0 or r1 == 0.0:
            uv_low, uv_high = (
                0.5 + 0.5 * low[:, :2] / max(r0, r1),
                0.5 + 0.5 * high[:, :2] / max(r0, r1),
            )
        else:
            uv_low = np.column_stack([u, np.zeros(sides + 1)])
            uv_high = np.column_stack([u, np.ones(sides + 1)])
        parts.append(
            Mesh(
                np.concatenate([low, high]),
                np.concatenate([normals, normals]),
                np.concatenate([uv_low, uv_high]),
                triangles,
                np.full(len(triangles), material, dtype=np.int32),
            )
        )
    return join(parts)


def disc(radius: float, material: int, sides: int = 36) -> Mesh:
    """A flat disc in z = 0 looking up, uv 0..1 over its square."""
    return lathe([(radius, 0.0), (0.0, 0.0)], material, sides)


def tube(
    path: Sequence[Point] | Array, radius: float | Sequence[float], material: int, sides: int = 12
) -> Mesh:
    """A round tube along a path, with closed ends."""
    line = np.asarray(path, dtype=np.float64)
    count = len(line)
    radii = [radius] * count if isinstance(radius, int | float) else list(radius)
    tangents = np.empty_like(line)
    tangents[1:-1] = line[2:] - line[:-2]
    tangents[0], tangents[-1] = line[1] - line[0], line[-1] - line[-2]
    t = unit(tangents[0])
    side = unit(cross(t, np.array([0.0, 0.0, 1.0]) if abs(t[2]) < 0.9 else np.array([1.0, 0, 0])))
    points, normals, uv = [], [], []
    run = 0.0
    for k in range(count):
        t = unit(tangents[k])
        side = unit(side - t * float((side * t).sum()))
        other = cross(t, side)
        if k:
            step = line[k] - line[k - 1]
            run += math.sqrt(float((step * step).sum()))
        for s in range(sides + 1):
            a = 2 * math.pi * s / sides
            n = side * math.cos(a) + other * math.sin(a)
            points.append(line[k] + n * radii[k])
            normals.append(n)
            uv.append((s / sides, run))
    triangles = _grid_triangles(count, sides + 1)
    body = Mesh(
        np.array(points),
        np.array(normals),
        np.array(uv),
        triangles,
        np.full(len(triangles), material, dtype=np.int32),
    )
    caps = []
    for k, sign in ((0, -1.0), (count - 1, 1.0)):
        ring = body.points[k * (sides + 1) : (k + 1) * (sides + 1)]
        centre = line[k]
        fan = np.array([[i, i + 1, sides + 1] for i in range(sides)], dtype=np.int32)
        pts = np.concatenate([ring, centre[None]])
        normal = unit(tangents[k]) * sign
        caps.append(
            Mesh(
                pts,
                np.broadcast_to(normal, pts.shape).copy(),
                np.zeros((len(pts), 2)),
                fan,
                np.full(sides, material, dtype=np.int32),
            )
        )
    return join([body, *caps])


def rod(start: Point, end: Point, radius: float, material: int, sides: int = 16) -> Mesh:
    return tube([start, end], radius, material, sides)


def ball(radius: float, material: int, sides: int = 20) -> Mesh:
    rows = sides // 2
    points, uv = [], []
    for r in range(rows + 1):
        a = math.pi * r / rows
        for s in range(sides + 1):
            b = 2 * math.pi * s / sides
            points.append((math.sin(a) * math.cos(b), math.sin(a) * math.sin(b), math.cos(a)))
            uv.append((s / sides, r / rows))
    normals = np.array(points)
    triangles = _grid_triangles(rows + 1, sides + 1)
    return Mesh(
        normals * radius,
        normals,
        np.array(uv),
        triangles,
        np.full(len(triangles), material, dtype=np.int32),
    )


def ring(radius: float, thickness: float, material: int, sides: int = 40) -> Mesh:
    path = [
        (
            radius * math.cos(2 * math.pi * k / sides),
            radius * math.sin(2 * math.pi * k / sides),
            0.0,
        )
        for k in range(sides + 1)
    ]
    return tube(path, thickness, material, 10)
