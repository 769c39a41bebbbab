"""Light on surfaces: materials, lamps with soft shadows, sky occlusion, reflections."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from demo_claims.draw.mesh import Mesh, join
from demo_claims.draw.raster import Array, View, cross, dot, rasterise, unit
from demo_claims.draw.textures import noise, ramp, sample

Paint = Callable[[Array, Array], Array]  # (uv, world points) -> linear colours
BAND = 150


@dataclass
class Material:
    colour: tuple[float, float, float] | Paint
    rough: float = 0.6
    metal: float = 0.0
    shine: float = 0.04  # reflectance head-on of a non-metal
    bump: float = 0.0  # strength of a fine relief
    grain: float = 24.0  # relief repeats per metre
    glow: float | Paint = 0.0  # light given off, times colour


@dataclass
class Lamp:
    """A rectangular light source, seen as `samples` points with a shadow map each."""

    place: tuple[float, float, float]
    power: float
    colour: tuple[float, float, float] = (1.0, 0.97, 0.92)
    size: float = 0.8
    samples: int = 10


@dataclass
class Scene:
    materials: list[Material] = field(default_factory=list)
    meshes: list[Mesh] = field(default_factory=list)
    ground: list[Mesh] = field(default_factory=list)  # receives shadow, casts none
    lamps: list[Lamp] = field(default_factory=list)
    sky: tuple[float, float, float] = (0.32, 0.33, 0.36)
    floor_bounce: tuple[float, float, float] = (0.16, 0.15, 0.14)
    strips: float = 1.4  # brightness of the ceiling lights that metal reflects
    centre: tuple[float, float, float] = (0.0, 0.0, 0.5)
    reach: float = 2.4  # metres round the centre that cast shadows
    seed: int = 1

    def add(self, material: Material) -> int:
        self.materials.append(material)
        return len(self.materials) - 1

    def put(self, *meshes: Mesh) -> None:
        self.meshes.extend(meshes)


@dataclass
class ShadowMap:
    view: View
    near: Array

    def lit(self, points: Array, jitter: Array, slack: float) -> Array:
        x, y, n = self.view.project(points)
        size = self.view.width
        column = np.clip(np.floor(x + jitter[:, 0]), 0, size - 1).astype(np.int64)
        row = np.clip(np.floor(y + jitter[:, 1]), 0, size - 1).astype(np.int64)
        seen = self.near[row, column]
        if self.view.span is not None:
            return (seen <= n + slack).astype(np.float64)
        # 1/seen is the blocker's distance; empty cells are endlessly far.
        distance = 1.0 / np.maximum(n, 1e-6)
        blocker = np.where(seen > 0, 1.0 / np.maximum(seen, 1e-6), 1e9)
        return (blocker >= distance - slack).astype(np.float64)


def _square_points(count: int, rng: np.random.Generator) -> Array:
    """Jittered points on -1..1 squared."""
    side = math.ceil(math.sqrt(count))
    cells = [(i, j) for j in range(side) for i in range(side)]
    order = rng.permutation(len(cells))[:count]
    jitter = rng.random((count, 2))
    return np.array(
        [
            (
                (cells[c][0] + jitter[k, 0]) / side * 2 - 1,
                (cells[c][1] + jitter[k, 1]) / side * 2 - 1,
            )
            for k, c in enumerate(order)
        ]
    )


def environment(scene: Scene, r: Array, rough: Array) -> Array:
    """What a mirror in this room would show: floor, walls, ceiling with two rows of lights."""
    z = r[:, 2]
    up = ramp(z, -0.25, 0.35)[:, None]
    out = np.asarray(scene.floor_bounce) * (1 - up) + np.asarray(scene.sky) * 0.62 * up
    safe = np.maximum(z, 0.08)
    x, y = r[:, 0] / safe, r[:, 1] / safe
    soft = 0.10 + 0.9 * rough
    strips = np.zeros(len(z))
    for place in (-1.0, 0.75):
        strips += ramp(-np.abs(x - place), -0.28 - soft, -0.12) * ramp(
            -np.abs(y), -2.6 - soft, -2.2
        )
    strips *= ramp(z, 0.05, 0.2) / (1 + 4 * rough * rough)
    for lamp in scene.lamps:
        d = unit(np.asarray(lamp.place) - np.asarray(scene.centre))
        near = dot(r, d)
        width = 0.03 + 0.02 * lamp.size + 0.5 * rough * rough
        hot = ramp(near, 1 - width * 1.6, 1 - width * 0.4) / (1 + 12 * rough * rough)
        out = out + (hot * min(lamp.power, 40) * 0.10)[:, None] * np.asarray(lamp.colour)
    # Bright openings at the sides: what upright rods show as their long highlights.
    flat = np.sqrt(np.maximum(r[:, 0] * r[:, 0] + r[:, 1] * r[:, 1], 1e-6))
    level = ramp(-np.abs(z), -0.75, -0.45)
    for across, along, width, power in (
        (-0.90, -0.43, 0.05, 1.5),
        (0.83, -0.56, 0.025, 1.1),
        (0.2, 0.98, 0.05, 0.35),
    ):
        facing = (r[:, 0] * across + r[:, 1] * along) / flat
        spread = width + 0.3 * rough * rough
        glint = ramp(facing, 1 - spread * 1.8, 1 - spread * 0.5) * level / (1 + 6 * rough * rough)
        out = out + (glint * power * scene.strips)[:, None] * np.array([1.0, 0.99, 0.97])
    return out + (strips * scene.strips)[:, None] * np.array([1.0, 0.99, 0.96])


def _shadow_maps(scene: Scene, casters: Mesh, size: int, quality: float):
    rng = np.random.default_rng(scene.seed)
    centre = np.asarray(scene.centre)
    lamps = []
    for lamp in scene.lamps:
        place = np.asarray(lamp.place)
        towards = unit(centre - place)
        distance = math.sqrt(float(((centre - place) ** 2).sum()))
        side = unit(cross(towards, np.array([0.0, 0.0, 1.0])))
        over = cross(side, towards)
        angle = 2 * math.degrees(math.atan(scene.reach / distance))
        count = max(3, int(lamp.samples * quality))
        maps = []
        for a, b in _square_points(count, rng):
            at = place + (side * a + over * b) * lamp.size / 2
            view = View(tuple(at), scene.centre, angle, width=size, height=size)
            maps.append(
                (at, ShadowMap(view, rasterise(view, casters.points, casters.triangles)[0]))
            )
        lamps.append((lamp, maps))
    sky = []
    count = max(5, int(14 * quality))
    for k in range(count):
        # Spread over the upper half sphere, denser near the top as the cosine asks.
        height = math.sqrt(1 - (k + 0.5) / count)
        flat = math.sqrt(1 - height * height)
        angle = k * 2.399963229728653 + 0.3
        direction = np.array([flat * math.cos(angle), flat * math.sin(angle), height])
        at = centre + direction * 50
        view = View(
            tuple(at), scene.centre, width=size // 2, height=size // 2, span=2 * scene.reach
        )
        sky.append(ShadowMap(view, rasterise(view, casters.points, casters.triangles)[0]))
    return lamps, sky


def render(scene: Scene, view: View, quality: float = 1.0) -> tuple[Array, Array]:
    """Linear colours and distance per pixel."""
    everything = join([*scene.meshes, *scene.ground])
    casters = join(scene.meshes)
    size = 1400 if quality >= 1 else 700
    lamps, sky = _shadow_maps(scene, casters, size, quality)
    _, owner = rasterise(view, everything.points, everything.triangles)
    rng = np.random.default_rng(scene.seed + 99)
    picture = np.zeros((view.height, view.width, 3))
    depth = np.full((view.height, view.width), 50.0)
    for top in range(0, view.height, BAND):
        rows = slice(top, min(top + BAND, view.height))
        jitter = (
            rng.integers(-2, 3, size=(rows.stop - rows.start, view.width, 2)).astype(np.float64)
            * 0.7
        )
        colour, distance = _shade_rows(scene, view, everything, owner, rows, lamps, sky, jitter)
        picture[rows], depth[rows] = colour, distance
    return picture, depth


def _relief(material: Material, uv: Array, points: Array, normals: Array) -> Array:
    texture = noise(501, 5, 16)
    u, v = points[:, 0] + points[:, 2] * 0.7, points[:, 1] + points[:, 2] * 0.6
    g = material.grain / 4
    e = 0.25 / 256
    here = sample(texture, u * g, v * g)
    du = sample(texture, u * g + e, v * g) - here
    dv = sample(texture, u * g, v * g + e) - here
    bumped = normals + material.bump * np.stack([-du, -dv, (du + dv) * 0.3], axis=1) * 20
    return bumped / np.sqrt(dot(bumped, bumped))[:, None]


def _shade_rows(scene, view, mesh, owner, rows, lamps, sky, jitter):
    ids = owner[rows].ravel()
    hit = np.nonzero(ids >= 0)[0]
    rays = view.rays(rows).reshape(-1, 3)[hit]
    tri = mesh.triangles[ids[hit]]
    eye = np.asarray(view.place, dtype=np.float64)
    p0 = mesh.points[tri[:, 0]]
    e1, e2 = mesh.points[tri[:, 1]] - p0, mesh.points[tri[:, 2]] - p0
    # Where the ray meets the triangle's plane (Moeller and Trumbore, 1997).
    h = cross(rays, e2)
    det = dot(e1, h)
    det = np.where(np.abs(det) < 1e-14, 1e-14, det)
    s = eye - p0
    w1 = np.clip(dot(s, h) / det, 0, 1)
    q = cross(s, e1)
    w2 = np.clip(dot(rays, q) / det, 0, 1)
    t = dot(e2, q) / det
    points = eye + rays * t[:, None]
    w0 = 1 - w1 - w2

    def blend(values: Array) -> Array:
        return (
            values[tri[:, 0]] * w0[:, None]
            + values[tri[:, 1]] * w1[:, None]
            + values[tri[:, 2]] * w2[:, None]
        )

    normals, uv = blend(mesh.normals), blend(mesh.uv)
    normals = normals / np.sqrt(np.maximum(dot(normals, normals), 1e-12))[:, None]
    back = -rays / np.sqrt(dot(rays, rays))[:, None]
    flip = np.where(dot(normals, back) < 0, -1.0, 1.0)[:, None]
    normals = normals * flip
    count = len(hit)
    albedo, glow = np.zeros((count, 3)), np.zeros((count, 3))
    rough, metal, shine = np.zeros(count), np.zeros(count), np.zeros(count)
    geometric = normals
    normals = normals.copy()
    kinds = mesh.material[ids[hit]]
    for number in np.unique(kinds):
        m = scene.materials[number]
        i = np.nonzero(kinds == number)[0]
        albedo[i] = m.colour(uv[i], points[i]) if callable(m.colour) else m.colour
        rough[i], metal[i], shine[i] = m.rough, m.metal, m.shine
        if callable(m.glow):
            glow[i] = m.glow(uv[i], points[i])
        elif m.glow:
            glow[i] = albedo[i] * m.glow
        if m.bump:
            normals[i] = _relief(m, uv[i], points[i], normals[i])
    distance = t * np.sqrt(dot(rays, rays))
    lifted = points + geometric * 0.006
    shake = jitter.reshape(-1, 2)[hit]
    out = glow
    diffuse = albedo * (1 - metal)[:, None]
    base = shine[:, None] * (1 - metal)[:, None] + albedo * metal[:, None]
    facing = np.clip(dot(normals, back), 0.02, 1)
    a2 = np.maximum(rough, 0.08)
    a2 = a2 * a2 * a2 * a2
    for lamp, maps in lamps:
        direct, gloss = np.zeros(count), np.zeros(count)
        for at, shadow in maps:
            towards = at - points
            d2 = dot(towards, towards)
            towards = towards / np.sqrt(d2)[:, None]
            level = np.clip(dot(normals, towards), 0, 1) * (dot(geometric, towards) > 0) / d2
            level = level * shadow.lit(lifted, shake, 0.008)
            direct += level
            half = towards + back
            half = half / np.sqrt(np.maximum(dot(half, half), 1e-9))[:, None]
            nh = np.clip(dot(normals, half), 0, 1)
            k = nh * nh * (a2 - 1) + 1
            gloss += level * a2 / (k * k) * 0.25 / np.maximum(facing, 0.15)
        scale = lamp.power / len(maps)
        tint = np.asarray(lamp.colour)
        out = out + diffuse * (direct * scale)[:, None] * tint * 0.32
        out = out + base * (np.minimum(gloss * scale, 30) * 0.32)[:, None] * tint
    open_sky, weight = np.zeros(count), np.zeros(count)
    for shadow in sky:
        d = unit(np.asarray(shadow.view.place) - np.asarray(scene.centre))
        toward = np.clip(dot(geometric, d) * 0.8 + 0.2, 0, 1)
        open_sky += toward * shadow.lit(lifted, shake, 0.012)
        weight += toward
    openness = np.where(weight > 0.2, open_sky / np.maximum(weight, 0.2), 0.6)
    openness = 0.12 + 0.88 * openness
    up = (normals[:, 2] * 0.5 + 0.5)[:, None]
    ambient = np.asarray(scene.floor_bounce) * (1 - up) + np.asarray(scene.sky) * up
    out = out + diffuse * ambient * openness[:, None]
    reflected = normals * (2 * dot(normals, back))[:, None] - back
    edge = 1 - facing
    edge = edge * edge * edge * edge * edge
    fresnel = base + (np.maximum(1 - rough[:, None], base) - base) * edge[:, None]
    out = out + fresnel * environment(scene, reflected, rough) * (openness * openness)[:, None]
    colour = np.zeros((len(ids), 3))
    colour[hit] = out
    far = np.full(len(ids), 50.0)
    far[hit] = distance
    shape = (rows.stop - rows.start, view.width)
    return colour.reshape(*shape, 3), far.reshape(shape)
