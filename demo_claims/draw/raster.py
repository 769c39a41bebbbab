"""A small depth-buffer renderer: cameras, and triangles to pixels.

Only operations that IEEE 754 rounds exactly (+ - * / sqrt) act on pixels, so that a picture
does not depend on which vector instructions a processor offers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SIZE_CLASSES = (2, 4, 8, 16, 32)
CELLS_AT_ONCE = 2_000_000


def unit(vector: tuple[float, float, float] | Array) -> Array:
    v = np.asarray(vector, dtype=np.float64)
    return v / math.sqrt(float(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]))


def cross(a: Array, b: Array) -> Array:
    return np.stack(
        [
            a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1],
            a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2],
            a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0],
        ],
        axis=-1,
    )


def dot(a: Array, b: Array) -> Array:
    return a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1] + a[..., 2] * b[..., 2]


@dataclass
class View:
    """A pinhole camera, or a parallel projection where `span` (metres across) is given."""

    place: tuple[float, float, float]
    target: tuple[float, float, float]
    field_of_view: float = 50.0  # degrees, across the width
    roll: float = 0.0  # degrees
    width: int = 1600
    height: int = 1200
    span: float | None = None
    axes: tuple[Array, Array, Array] = field(init=False)

    def __post_init__(self) -> None:
        eye = np.asarray(self.place, dtype=np.float64)
        ahead = unit(np.asarray(self.target, dtype=np.float64) - eye)
        up = np.array([0.0, 0.0, 1.0]) if abs(ahead[2]) < 0.999 else np.array([0.0, 1.0, 0.0])
        right = unit(cross(ahead, up))
        above = cross(right, ahead)
        c, s = math.cos(math.radians(self.roll)), math.sin(math.radians(self.roll))
        self.axes = (right * c + above * s, above * c - right * s, ahead)

    @property
    def focal(self) -> float:
        return self.width / 2 / math.tan(math.radians(self.field_of_view) / 2)

    def project(self, points: Array) -> tuple[Array, Array, Array]:
        """Screen x, y (pixels, y down) and a nearness that grows towards the camera."""
        d = points - np.asarray(self.place, dtype=np.float64)
        right, above, ahead = self.axes
        x, y, z = dot(d, right), dot(d, above), dot(d, ahead)
        if self.span is not None:
            scale = self.width / self.span
            return self.width / 2 + x * scale, self.height / 2 - y * scale, 1000.0 - z
        near = np.where(z > 0.02, 1.0 / np.maximum(z, 0.02), -1.0)
        scaled = self.focal * np.maximum(near, 0.0)
        return self.width / 2 + x * scaled, self.height / 2 - y * scaled, near

    def rays(self, rows: slice) -> Array:
        """Directions (not of unit length) through the pixels of these rows."""
        right, above, ahead = self.axes
        xs = (np.arange(self.width) + 0.5 - self.width / 2) / self.focal
        ys = (self.height / 2 - (np.arange(rows.start, rows.stop) + 0.5)) / self.focal
        return (
            ahead[None, None, :]
            + xs[None, :, None] * right[None, None, :]
            + ys[:, None, None] * above[None, None, :]
        )


def rasterise(view: View, points: Array, triangles: NDArray[np.int32]) -> tuple[Array, Array]:
    """Nearness (0 where empty) and the triangle's number (-1 where empty), per pixel."""
    width, height = view.width, view.height
    near = np.zeros(width * height)
    owner = np.full(width * height, -1, dtype=np.int32)
    sx, sy, sn = view.project(points)
    x, y, n = sx[triangles], sy[triangles], sn[triangles]
    low_x = np.floor(x.min(axis=1)).astype(np.int64)
    low_y = np.floor(y.min(axis=1)).astype(np.int64)
    high_x = np.ceil(x.max(axis=1)).astype(np.int64)
    high_y = np.ceil(y.max(axis=1)).astype(np.int64)
    area = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    seen = (high_x > 0) & (high_y > 0) & (low_x < width) & (low_y < height)
    seen &= (n.min(axis=1) > 0) & (np.abs(area) > 1e-9)
    low_x, low_y = np.maximum(low_x, 0), np.maximum(low_y, 0)
    high_x, high_y = np.minimum(high_x, width), np.minimum(high_y, height)
    size = np.maximum(high_x - low_x, high_y - low_y)
    inverse = 1.0 / np.where(np.abs(area) > 1e-9, area, 1.0)
    # Barycentric weights and nearness as planes a*px + b*py + c over the screen.
    a1, b1 = (y[:, 2] - y[:, 0]) * inverse, -(x[:, 2] - x[:, 0]) * inverse
    a2, b2 = -(y[:, 1] - y[:, 0]) * inverse, (x[:, 1] - x[:, 0]) * inverse
    d1, d2 = n[:, 1] - n[:, 0], n[:, 2] - n[:, 0]
    below = 0
    for limit in (*SIZE_CLASSES, None):
        chosen = seen & (size > below) & ((size <= limit) if limit else True)
        numbers = np.nonzero(chosen)[0]
        below = limit or below
        if limit is None:
            for i in numbers:
                rows = np.arange(low_y[i], high_y[i])
                columns = np.arange(low_x[i], high_x[i])
                px = columns[None, :] + 0.5 - x[i, 0]
                py = rows[:, None] + 0.5 - y[i, 0]
                w1, w2 = a1[i] * px + b1[i] * py, a2[i] * px + b2[i] * py
                nearness = n[i, 0] + w1 * d1[i] + w2 * d2[i]
                window = near.reshape(height, width)[low_y[i] : high_y[i], low_x[i] : high_x[i]]
                inside = (w1 >= 0) & (w2 >= 0) & (w1 + w2 <= 1) & (nearness > window)
                window[inside] = nearness[inside]
                owner.reshape(height, width)[low_y[i] : high_y[i], low_x[i] : high_x[i]][inside] = i
            continue
        step = max(1, CELLS_AT_ONCE // (limit * limit))
        offsets = np.arange(limit)
        for start in range(0, len(numbers), step):
            part = numbers[start : start + step]
            columns = low_x[part][:, None] + offsets
            rows = low_y[part][:, None] + offsets
            px = (columns + 0.5 - x[part, 0][:, None])[:, None, :]
            py = (rows + 0.5 - y[part, 0][:, None])[:, :, None]
            w1 = a1[part][:, None, None] * px + b1[part][:, None, None] * py
            w2 = a2[part][:, None, None] * px + b2[part][:, None, None] * py
            inside = (w1 >= 0) & (w2 >= 0) & (w1 + w2 <= 1)
            inside &= (columns < width)[:, None, :] & (rows < height)[:, :, None]
            which, row, column = np.nonzero(inside)
            nearness = (
                n[part, 0][which] + w1[inside] * d1[part][which] + w2[inside] * d2[part][which]
            )
            cell = rows[which, row] * width + columns[which, column]
            np.maximum.at(near, cell, nearness)
            won = near[cell] == nearness
            owner[cell[won]] = part[which[won]]
    return near.reshape(height, width), owner.reshape(height, width)
