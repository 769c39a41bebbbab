"""The surfaces that gear is made of, added to a scene when first used."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from demo_claims.draw import textures as tx
from demo_claims.draw.raster import Array
from demo_claims.draw.shade import Material, Paint, Scene

Colour = tuple[int, int, int]


def stained(colour: Colour, seed: int, amount: float = 0.35, scale: float = 0.7) -> Paint:
    """A colour with wear and dirt in clouds, following the world position."""
    base = np.array(tx.linear(*colour))
    cloud = tx.noise(seed, 6, 6)

    def paint(uv: Array, p: Array) -> Array:
        level = tx.sample(cloud, p[:, 0] * scale + p[:, 2] * 0.31, p[:, 1] * scale + p[:, 2] * 0.53)
        return base * (1 + amount * (level * 2 - 1.2))[:, None]

    return paint


def printed(texture: Array) -> Paint:
    return lambda uv, p: tx.sample(
        texture, np.clip(uv[:, 0], 0.001, 0.999), np.clip(uv[:, 1], 0.001, 0.999)
    )


def laid(texture: Array, metres: float, turned: bool = False, upright: bool = False) -> Paint:
    """A texture laid over the floor (or an upright wall) at a given size."""

    def paint(uv: Array, p: Array) -> Array:
        a = p[:, 0] if not upright else p[:, 0] + p[:, 1]
        b = p[:, 2] if upright else p[:, 1]
        if turned:
            a, b = b, a
        return tx.sample(texture, a / metres, b / metres)

    return paint


class Stock:
    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._made: dict[str, int] = {}

    def once(self, name: str, make: Callable[[], Material]) -> int:
        if name not in self._made:
            self._made[name] = self.scene.add(make())
        return self._made[name]

    def plain(
        self,
        colour: Colour,
        rough: float = 0.6,
        metal: float = 0.0,
        bump: float = 0.0,
        glow: float = 0.0,
        grain: float = 24.0,
    ) -> int:
        name = f"plain {colour} {rough} {metal} {bump} {glow} {grain}"
        return self.once(
            name,
            lambda: Material(tx.linear(*colour), rough, metal, bump=bump, glow=glow, grain=grain),
        )

    def worn(
        self,
        colour: Colour,
        rough: float = 0.5,
        metal: float = 0.0,
        amount: float = 0.35,
        bump: float = 0.0,
    ) -> int:
        name = f"worn {colour} {rough} {metal} {amount}"
        return self.once(
            name, lambda: Material(stained(colour, 77, amount, 1.9), rough, metal, bump=bump)
        )

    def print(self, name: str, texture: Array, rough: float = 0.5, glow: float = 0.0) -> int:
        return self.once(
            "print " + name,
            lambda: Material(printed(texture), rough, glow=glow),
        )

    @property
    def chrome(self) -> int:
        return self.once(
            "chrome", lambda: Material(stained((225, 226, 230), 5, 0.12, 2.5), 0.22, 1.0)
        )

    @property
    def steel(self) -> int:
        return self.once(
            "steel", lambda: Material(stained((176, 178, 182), 6, 0.3, 2.5), 0.42, 1.0)
        )

    @property
    def black(self) -> int:
        return self.once("black", lambda: Material(stained((46, 46, 49), 8, 0.4, 2.0), 0.42))

    @property
    def rubber(self) -> int:
        return self.once(
            "rubber", lambda: Material(tx.linear(34, 34, 36), 0.8, bump=0.05, grain=60)
        )

    @property
    def cloth(self) -> int:
        return self.once(
            "cloth",
            lambda: Material(
                stained((30, 30, 33), 9, 0.5, 3.0), 0.95, shine=0.02, bump=0.12, grain=70
            ),
        )

    @property
    def brass(self) -> int:
        return self.once("brass", lambda: Material(tx.linear(206, 170, 92), 0.3, 1.0))

    @property
    def foam(self) -> int:
        return self.once(
            "foam", lambda: Material(tx.linear(58, 58, 62), 0.97, shine=0.01, bump=0.35, grain=90)
        )

    @property
    def glass(self) -> int:
        return self.once("glass", lambda: Material(tx.linear(14, 18, 26), 0.06, shine=0.10))

    @property
    def wood(self) -> int:
        ply = tx.plywood(31)
        return self.once(
            "wood",
            lambda: Material(
                lambda uv, p: tx.sample(
                    ply, p[:, 0] * 0.9 + p[:, 2] * 0.2, p[:, 1] * 0.9 + p[:, 2] * 1.1
                ),
                0.55,
            ),
        )
