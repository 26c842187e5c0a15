"""The head: skull, face, ears as one solid; eyeballs, brows, lashes and hair strands placed on it.

Head coordinates are centimetres, origin in the middle of the head, face towards -Y, +X the figure's left, +Z up.
Proportions after the classical canon: eyes half-way down the head, one eye's width between them, nose and mouth
at one half and two thirds of the way from the eyes to the chin.
"""
import numpy as np

from . import sdf

EYE = (3.12, -6.75, 0.0)
EYE_RADIUS = 1.2
IRIS_RADIUS = 0.59  # half of the 11.8 mm corneal diameter, common anatomical value
MOUTH_Z = -5.75


def lid_opening(p):
    """The almond between the lids, extruded forwards: negative where the eye shows. Folded coordinates (x >= 0)."""
    x = (p[:, 0] - EYE[0] - 0.05) * 1.0
    tilt = 0.07
    z = p[:, 2] - EYE[2] - 0.02 - tilt * x
    half = 1.5
    t = np.clip(np.abs(x) / half, 0, 1.2)
    skew = 0.12 * x
    upper = 0.46 * (1 - t**2.2) - 0.08 * t + skew * 0.2
    lower = -0.40 * (1 - t**2.0) - 0.02 * t
    return np.maximum(np.maximum(z - upper, lower - z), np.abs(x) - half) * 0.9


def lips(p):
    """Distance to the lips alone, for their shape and their colour. Folded coordinates."""
    upper = sdf.capsule(p, (0.45, -8.86, MOUTH_Z + 0.30), (2.75, -8.08, MOUTH_Z + 0.34), 0.36, 0.15)
    upper = sdf.union(upper, sdf.capsule(p, (0.0, -8.84, MOUTH_Z + 0.24), (0.5, -8.87, MOUTH_Z + 0.30), 0.33), 0.3)
    lower = sdf.capsule(p, (0.0, -8.80, MOUTH_Z - 0.48), (1.3, -8.50, MOUTH_Z - 0.36), 0.48, 0.40)
    lower = sdf.union(lower, sdf.capsule(p, (1.3, -8.48, MOUTH_Z - 0.34), (2.7, -8.08, MOUTH_Z + 0.24), 0.38, 0.15), 0.3)
    return upper, lower


def brow_line(x):
    """Height of the middle of a brow; x >= 0."""
    return 2.22 + 0.42 * np.sin(np.clip((x - 1.2) / 3.9, 0, 1) * np.pi * 0.95)


def head(p):
    """Signed distance to the head, in cm."""
    q = sdf.mirror(p)
    d = sdf.ellipsoid(q, (0, 1.2, 3.3), (7.2, 8.9, 8.0))
    d = sdf.union(d, sdf.ellipsoid(q, (0, -2.6, -2.3), (5.95, 5.7, 7.5)), 2.0)
    d = sdf.union(d, sdf.capsule(q, (3.95, -0.8, -5.6), (1.2, -6.6, -9.3), 1.4, 1.2), 2.4)
    d = sdf.union(d, sdf.ellipsoid(q, (0, -7.1, -9.7), (1.7, 1.6, 1.3)), 1.8)
    d = sdf.union(d, sdf.ellipsoid(q, (4.2, -5.5, -1.7), (1.7, 1.6, 1.2)), 2.2)
    d = sdf.union(d, sdf.capsule(q, (0.0, -7.40, 1.95), (4.5, -6.2, 1.95), 0.45), 2.4)
    d = sdf.subtract(d, sdf.ellipsoid(q, (3.05, -9.1, 0.15), (1.85, 1.5, 1.1)), 1.0)
    d = sdf.union(d, sdf.ellipsoid(q, (0.0, -7.2, -5.9), (3.3, 1.6, 2.4)), 1.8)
    nose = sdf.capsule(q, (0, -8.05, 0.5), (0, -9.8, -2.6), 0.5, 0.66)
    nose = sdf.union(nose, sdf.sphere(q, (0, -10.0, -2.9), 0.78), 0.5)
    nose = sdf.union(nose, sdf.ellipsoid(q, (0.95, -9.0, -3.2), (0.64, 0.9, 0.6)), 0.55)
    d = sdf.union(d, nose, 0.95)
    d = sdf.subtract(d, sdf.ellipsoid(q, (0.5, -9.5, -3.75), (0.28, 0.5, 0.38)), 0.2)
    d = sdf.subtract(d, sdf.capsule(q, (0, -9.1, -4.1), (0, -9.2, -4.9), 0.16), 0.35)
    upper, lower = lips(q)
    d = sdf.union(d, upper, 0.35)
    d = sdf.union(d, lower, 0.35)
    x = q[:, 0]
    groove = q.copy()
    groove[:, 1] += 9.25 - 0.17 * x * x
    groove[:, 2] -= MOUTH_Z - 0.1 + 0.03 * np.cos(x * 2.2) + 0.052 * x * x  # the corners turn up: a faint smile
    slit = np.sqrt((groove[:, 1] * 0.45) ** 2 + groove[:, 2] ** 2) - 0.10 + 0.03 * x
    d = sdf.subtract(d, np.maximum(slit, x - 2.6), 0.18)
    lid = sdf.sphere(q, EYE, EYE_RADIUS + 0.17)
    d = sdf.union(d, lid, 0.42)
    opening = np.maximum(lid_opening(q), q[:, 1] + 5.5)
    d = sdf.subtract(d, opening, 0.08)
    ear = sdf.ellipsoid(q, (6.65, 1.7, -0.8), (0.7, 1.6, 2.8))
    ear = sdf.subtract(ear, sdf.ellipsoid(q, (7.45, 1.5, -0.4), (0.7, 0.95, 1.9)), 0.4)
    d = sdf.union(d, ear, 0.5)
    neck = sdf.capsule(q, (0, 2.6, -7.0), (0, 3.6, -15.0), 4.7, 4.7)
    return sdf.union(d, neck, 1.6)


def face_paint(p):
    """Weights 0..1 per point for (lips, blush, brow shade, lid shade)."""
    q = sdf.mirror(p)
    upper, lower = lips(q)
    lip = np.clip(0.75 - np.minimum(upper, lower) / 0.10, 0, 1) * (np.abs(q[:, 0]) < 2.4)
    blush = np.exp(-(((q[:, 0] - 4.2) / 2.0) ** 2 + ((q[:, 2] + 2.6) / 1.6) ** 2)) * (q[:, 1] < -2)
    nose_red = 0.5 * np.exp(-((q[:, 0] / 1.3) ** 2 + ((q[:, 2] + 3.0) / 1.0) ** 2)) * (q[:, 1] < -8)
    thickness = np.interp(q[:, 0], [1.0, 1.6, 4.0, 5.3], [0.0, 0.36, 0.28, 0.03])
    brow = 1.3 * np.clip(1.2 - np.abs(q[:, 2] - brow_line(q[:, 0])) / np.maximum(thickness, 0.02), 0, 1)
    brow *= (q[:, 0] > 1.05) & (q[:, 0] < 5.3) & (q[:, 1] < -4)
    rim = lid_opening(q)
    above = q[:, 2] > EYE[2]
    lid = np.exp(-((np.maximum(rim, 0) / np.where(above, 0.30, 0.13)) ** 2)) * (q[:, 1] < -5)
    return np.stack([lip, np.maximum(blush, nose_red), brow, lid], 1).astype(np.float32)


def project(points, towards=(0, 1, 0), steps=24):
    """Points moved along a direction on to the head's surface."""
    direction = sdf.vec(*towards)
    p = points.astype(np.float32).copy()
    for _ in range(steps):
        p += head(p)[:, None] * 0.8 * direction
    return p


def lashes(rng):
    """Roots and tips of the upper and lower lashes and the brow hairs: list of polylines (k, 3) in cm with root width."""
    strands = []
    for side in (-1, 1):
        for t in np.linspace(-0.97, 0.99, 46):
            x = EYE[0] + 0.05 + 1.5 * t
            height = 0.46 * (1 - abs(t) ** 2.2) - 0.08 * abs(t) + 0.07 * 1.5 * t
            root = np.array([x, EYE[1] - np.sqrt(max(1.33**2 - (x - EYE[0]) ** 2 - height**2, 0.05)), EYE[2] + 0.03 + height])
            reach = 0.55 + 0.30 * (t + 1) / 2 + rng.normal(0, 0.05)
            fan = np.array([0.55 * t + 0.1, -0.85, 0.35])
            fan /= np.linalg.norm(fan)
            line = [root + fan * reach * s + np.array([0, 0, 0.33 * reach * s * s]) for s in (0, 0.4, 0.75, 1)]
            strands.append((np.array(line) * [side, 1, 1], 0.036))
        t = rng.random(230)
        x = 1.15 + 4.0 * t
        z = brow_line(x) + rng.normal(0, 0.5, 230) * np.interp(x, [1.0, 1.6, 4.0, 5.3], [0.16, 0.30, 0.2, 0.05])
        roots = project(np.stack([x, np.full(230, -9.5), z], 1))
        ways = np.stack([0.75 + 0.3 * t, 0.22 + 0.35 * t, 0.55 * (1 - 1.5 * t)], 1)
        for root, way in zip(roots, ways):
            line = [root + way * 0.5 * s + np.array([0, -0.06 * np.sin(np.pi * s), 0]) for s in (0, 0.5, 1)]
            strands.append((np.array(line) * [side, 1, 1], 0.022))
    return strands
