"""Hair as strands: pulled back into a knot, or hanging to the shoulders. Head coordinates in cm (see head.py)."""
import numpy as np

from . import sdf

SKULL_CENTRE = np.array([0, 1.3, 3.2])
SKULL_RADII = np.array([7.55, 9.25, 8.5])


def hairline(direction):
    """Positive where hair grows. direction: unit vectors (n, 3) from the middle of the skull, scaled by its radii."""
    x, y, z = direction[:, 0], direction[:, 1], direction[:, 2]
    forehead = z - (0.44 - 0.55 * x * x) - 0.012 * np.sin(11 * x)  # grows above this arc
    temple = (y + 0.24 - 0.30 * np.maximum(z, 0)) * 0.9  # and behind this line
    blend = np.clip(0.5 + 0.5 * (forehead - temple) / 0.30, 0, 1)  # smooth maximum rounds the corner at the temple
    front = temple * (1 - blend) + forehead * blend + 0.30 * blend * (1 - blend)
    return np.minimum(front, z + 0.74 - 0.35 * np.maximum(-y, 0))


def cap(p):
    """Solid close to the skull under the strands, so that no skin shines through."""
    q = (p - SKULL_CENTRE) / SKULL_RADII
    direction = q / np.maximum(np.linalg.norm(q, axis=1, keepdims=True), 1e-6)
    d = sdf.ellipsoid(p, SKULL_CENTRE, SKULL_RADII * 0.975)
    return np.maximum(d, -hairline(direction) * 6.0 + 0.25).astype(np.float32)


def roots(rng, count):
    """Random unit directions on the hairy part of the skull."""
    found = []
    while sum(map(len, found)) < count:
        d = rng.normal(size=(count * 2, 3))
        d /= np.linalg.norm(d, axis=1, keepdims=True)
        found.append(d[hairline(d) > 0])
    return np.concatenate(found)[:count]


def slerp(a, b, t):
    dot = np.clip((a * b).sum(1), -0.9999, 0.9999)
    omega = np.arccos(dot)
    s = np.sin(omega)
    return (np.sin((1 - t) * omega) / s)[:, None] * a + (np.sin(t * omega) / s)[:, None] * b


def knot(rng, count=9000, points=14, centre=(0, 0.62, 0.72)):
    """Strands combed back from the hairline into a knot at the back of the head: (n, points, 3)."""
    start = roots(rng, count)
    goal = np.array(centre)
    goal = goal / np.linalg.norm(goal) + rng.normal(0, 0.05, (count, 3))
    goal /= np.linalg.norm(goal, axis=1, keepdims=True)
    lift = rng.random(count) ** 1.5
    lines = []
    for i in range(points):
        t = i / (points - 1)
        way = slerp(start, goal, np.full(count, t))
        height = 0.955 + (0.03 + 0.035 * lift) * np.sin(np.pi * min(t * 1.3 + 0.12, 1.0)) ** 0.6
        wave = 0.006 * np.sin(9 * t + lift * 30)
        lines.append(SKULL_CENTRE + way * SKULL_RADII * (height + wave)[:, None])
    return np.stack(lines, 1), np.array(centre) / np.linalg.norm(centre) * SKULL_RADII * 1.13 + SKULL_CENTRE


def coil(rng, centre, radius=3.4, count=2600, points=18):
    """The knot itself: strands wound around a ball."""
    tilt = rng.normal(0, 0.55, count)
    phase = rng.random(count) * 2 * np.pi
    r = radius * (0.86 + 0.16 * rng.random(count))
    t = np.linspace(0, 1, points)[None] * 2.6
    angle = phase[:, None] + t
    lat = tilt[:, None] + 0.35 * np.sin(angle * 0.7)
    x = np.cos(angle) * np.cos(lat)
    z = np.sin(angle) * np.cos(lat)
    y = np.sin(lat) * 0.8
    return np.stack([x, y, z], -1) * r[:, None, None] + centre


def loose(rng, count=9000, points=18, fall=24.0):
    """Strands from a middle parting, over the sides and down to the shoulders (fall: cm below the ears)."""
    start = roots(rng, count)
    side = np.where(start[:, 0] + rng.normal(0, 0.02, count) >= 0, 1.0, -1.0)
    goal = np.stack([side * (0.93 + 0 * side), np.clip(start[:, 1] * 0.55 + 0.25, -0.12, 0.95), np.full(count, -0.35)], 1)
    behind = np.abs(start[:, 0]) * 0.7 < start[:, 1]
    goal[behind, 0] = start[behind, 0] * 1.3
    goal[behind, 1] = 0.95
    goal /= np.linalg.norm(goal, axis=1, keepdims=True)
    lift = rng.random(count)
    lines = []
    on_head = points // 2
    for i in range(on_head):
        t = i / (on_head - 1)
        way = slerp(start, goal, np.full(count, t))
        height = 0.96 + (0.03 + 0.06 * lift) * np.sin(np.pi * min(0.1 + t * 0.6, 1.0))
        lines.append(SKULL_CENTRE + way * SKULL_RADII * height[:, None])
    end = lines[-1]
    length = fall * (0.8 + 0.25 * rng.random(count))
    phase = rng.random(count) * 0.8 + np.round(lift * 4)
    for i in range(points - on_head):
        t = (i + 1) / (points - on_head)
        drop = np.stack([0.8 * np.sin(5 * t + phase) + 0.25 * side * 4 * t, 0.6 * np.cos(4 * t + phase) + 1.2 * t, -length * t], 1)
        lines.append(end + drop)
    return np.stack(lines, 1)
