"""The figure's body from a pose: joints, limbs, hands, feet as signed distance functions (metres, Z up, facing -Y).

Proportions: 1.74 m, seven and a half heads, after the academic figure canon (from memory).
"""
import math

import numpy as np

from . import sdf

HEAD_CENTRE = np.array([0.0, -0.012, 1.628])
SHOULDER = np.array([0.156, 0.008, 1.402])
HIP = np.array([0.088, 0.0, 0.905])
UPPER_ARM, FOREARM = 0.285, 0.245
THIGH, SHANK = 0.425, 0.405
TORSO = np.array([  # height, half width, depth in front, depth behind
    (0.78, 0.150, 0.070, 0.090), (0.84, 0.168, 0.082, 0.108), (0.90, 0.176, 0.090, 0.115),
    (0.96, 0.168, 0.094, 0.104), (1.02, 0.146, 0.090, 0.086), (1.09, 0.124, 0.084, 0.078),
    (1.16, 0.127, 0.086, 0.084), (1.24, 0.141, 0.092, 0.094), (1.32, 0.152, 0.086, 0.100),
    (1.38, 0.156, 0.070, 0.096), (1.43, 0.120, 0.056, 0.078), (1.48, 0.060, 0.050, 0.062)], np.float32)


def two_bones(root, target, upper, lower, pole):
    """Middle joint of a limb that reaches for target and bends towards pole; also the target it really reaches."""
    root, target, pole = map(np.asarray, (root, target, pole))
    way = target - root
    distance = min(np.linalg.norm(way), (upper + lower) * 0.9995)
    way = way / np.linalg.norm(way)
    along = (upper**2 - lower**2 + distance**2) / (2 * distance)
    side = pole - way * (pole @ way)
    side /= np.linalg.norm(side)
    middle = root + way * along + side * math.sqrt(max(upper**2 - along**2, 0.0))
    return middle, root + way * distance


def joints(pose):
    """All joints of a pose. pose: wrists and ankles of both sides ("l", "r"), the poles of elbows, head yaw and pitch (deg)."""
    found = {}
    for side, s in (("l", 1), ("r", -1)):
        flip = np.array([s, 1, 1])
        shoulder = SHOULDER * flip
        wrist = np.array(pose["wrist_" + side]) * flip
        pole = np.array(pose.get("elbow_" + side, (0.6, 1.0, -0.2))) * flip
        elbow, wrist = two_bones(shoulder, wrist, UPPER_ARM, FOREARM, pole)
        hip = HIP * flip
        ankle = np.array(pose["ankle_" + side]) * flip
        knee, ankle = two_bones(hip, ankle, THIGH, SHANK, np.array([0.12 * s, -1.0, 0.0]))
        found.update({"shoulder_" + side: shoulder, "elbow_" + side: elbow, "wrist_" + side: wrist,
                      "hip_" + side: hip, "knee_" + side: knee, "ankle_" + side: ankle})
    return found


def torso(p, bust=1.0):
    """Trunk from crotch to neck, without arms."""
    z = p[:, 2]
    half = np.interp(z, TORSO[:, 0], TORSO[:, 1])
    front = np.interp(z, TORSO[:, 0], TORSO[:, 2])
    back = np.interp(z, TORSO[:, 0], TORSO[:, 3])
    depth = np.where(p[:, 1] < 0, front, back)
    x, y = np.abs(p[:, 0]) / half, np.abs(p[:, 1]) / depth
    d = ((x**2.25 + y**2.25) ** (1 / 2.25) - 1.0) * np.minimum(half, depth)
    d = sdf.intersect(d, np.maximum(z - 1.47, 0.80 - z), 0.06)
    q = sdf.mirror(p)
    breast = sdf.ellipsoid(q, (0.073, -0.070, 1.262), (0.060, 0.055 * bust, 0.064))
    d = sdf.union(d, breast, 0.045)
    d = sdf.union(d, sdf.ellipsoid(q, (0.075, 0.055, 0.885), (0.085, 0.078, 0.09)), 0.06)
    d = sdf.union(d, sdf.capsule(q, (0.02, 0.025, 1.475), (0.15, 0.012, 1.412), 0.040, 0.034), 0.05)
    return d.astype(np.float32)


def arm(p, j, side):
    d = sdf.capsule(p, j["shoulder_" + side], j["elbow_" + side], 0.043, 0.032)
    mid = j["elbow_" + side] * 0.72 + j["wrist_" + side] * 0.28
    d = sdf.union(d, sdf.capsule(p, j["elbow_" + side], mid, 0.031, 0.033), 0.025)
    return sdf.union(d, sdf.capsule(p, mid, j["wrist_" + side], 0.032, 0.021), 0.015)


def leg(p, j, side):
    hip, knee, ankle = (j[k + side] for k in ("hip_", "knee_", "ankle_"))
    d = sdf.capsule(p, hip, knee, 0.083, 0.050)
    calf = knee * 0.70 + ankle * 0.30 + np.array([0, 0.018, 0])
    d = sdf.union(d, sdf.capsule(p, knee, ankle, 0.044, 0.029), 0.03)
    d = sdf.union(d, sdf.capsule(p, knee * 0.9 + ankle * 0.1 + np.array([0, 0.01, 0]), calf, 0.037, 0.040), 0.03)
    return sdf.union(d, sdf.capsule(p, calf, ankle + np.array([0, 0.012, 0]), 0.038, 0.026), 0.02)


def neck(p):
    return sdf.capsule(p, (0, 0.024, 1.42), (0, 0.014, 1.56), 0.053, 0.0475)


def body(j, bust=1.0, cover=None):
    """The whole skin surface below the head, as a function of points. cover: a solid that trunk and legs stay inside of (a skirt)."""

    def distance(p):
        d = torso(p, bust)
        for side in "lr":
            d = sdf.union(d, leg(p, j, side), 0.035)
        if cover is not None:
            d = np.maximum(d, cover(p))
        d = sdf.union(d, neck(p), 0.045)
        for side in "lr":
            d = sdf.union(d, arm(p, j, side), 0.04)
        return d

    return distance


def frame_of(direction, hint):
    """Orthonormal axes (columns): x across, y = hint side, z along direction."""
    z = direction / np.linalg.norm(direction)
    y = hint - z * (hint @ z)
    y /= np.linalg.norm(y)
    return np.stack([np.cross(y, z), y, z], 1)


def hand(side, curl=0.5):
    """A hand in its own axes: +Z from wrist to finger tips, +Y out of the back of the hand, thumb at +X (mirrored for "r")."""
    flip = 1 if side == "l" else -1

    def distance(p):
        q = p.copy()
        q[:, 0] *= flip
        d = sdf.box(q, (0.0, 0.0, 0.052), (0.038, 0.013, 0.046), 0.012)
        d = sdf.union(d, sdf.capsule(q, (0, 0, -0.02), (0, 0, 0.02), 0.0225, 0.026), 0.03)
        for i, (x, size) in enumerate(((0.029, 0.070), (0.0095, 0.078), (-0.010, 0.073), (-0.028, 0.058))):
            a = np.array([x, 0.001, 0.094 - 0.004 * abs(i - 1)])
            bend = curl * (0.35 + 0.12 * i)
            for part, share in enumerate((0.45, 0.31, 0.24)):
                bend_here = bend * (1 + part * 1.1)
                step = np.array([0.04 * x / 0.03 * (1 - curl), -math.sin(bend_here), math.cos(bend_here)]) * size * share
                r = 0.0088 - 0.0011 * part
                d = sdf.union(d, sdf.capsule(q, a, a + step, r, r - 0.0009), 0.006)
                a = a + step
        thumb = [np.array([0.028, -0.006, 0.022]), np.array([0.050, -0.018, 0.052]), np.array([0.054, -0.026, 0.082]), np.array([0.050, -0.031, 0.104])]
        for i in range(3):
            d = sdf.union(d, sdf.capsule(q, thumb[i], thumb[i + 1], 0.0135 - 0.002 * i, 0.0115 - 0.002 * i), 0.012)
        return d

    return distance


def shoe(heel=0.035):
    """A closed low shoe around a foot whose ankle is at the origin; toes towards -Y. Returns (shoe, foot) functions."""
    floor = -0.085

    def foot(p):
        d = sdf.capsule(p, (0, 0.0, 0.01), (0, 0.010, -0.05), 0.033, 0.030)
        d = sdf.union(d, sdf.capsule(p, (0, 0.0, -0.03), (0, -0.12, -0.062), 0.033, 0.020), 0.03)
        return d

    def upper(p):
        d = sdf.capsule(p, (0, 0.022, floor + 0.042), (0, -0.105, floor + 0.027), 0.037, 0.032)
        d = sdf.union(d, sdf.ellipsoid(p, (0.004, -0.135, floor + 0.022), (0.037, 0.062, 0.022)), 0.03)
        d = sdf.union(d, sdf.capsule(p, (0, 0.03, floor + 0.05), (0, 0.026, floor + 0.078), 0.033, 0.031), 0.02)
        opening = sdf.ellipsoid(p, (0, -0.022, floor + 0.095), (0.034, 0.078, 0.046))
        d = sdf.subtract(d, opening, 0.008)
        sole = np.maximum(sdf.ellipsoid(p, (0.003, -0.06, floor + 0.005), (0.043, 0.138, 0.03)), np.abs(p[:, 2] - floor - 0.006) - 0.006)
        d = sdf.union(np.maximum(d, floor + 0.004 - p[:, 2]), sole, 0.004)
        return d

    return upper, foot
