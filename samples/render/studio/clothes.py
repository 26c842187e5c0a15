"""Clothes as solids around a posed body: bodice, sleeves, skirt, trousers, collar, belt, buttons.

A garment is a dict from garments.py; every function returns a signed distance function in metres.
"""
import numpy as np

from . import body, sdf


def around(p, centre=(0.0, 0.0)):
    """Angle around the vertical axis (0 in front, towards -Y) and distance from it."""
    x, y = p[:, 0] - centre[0], p[:, 1] - centre[1]
    return np.arctan2(x, -y), np.sqrt(x * x + y * y)


def wrinkles(p, amount, seed):
    """Slanted tension folds: ridged noise stretched along one direction."""
    q = p @ np.array([[1.0, 0.0, 0.35], [0.0, 1.0, 0.2], [-0.45, 0.25, 1.0]], np.float32)
    q = q * np.float32([5.0, 5.0, 17.0])
    a = sdf.noise(q, 1.0, seed)
    b = sdf.noise(q, 2.1, seed + 1)
    return amount * ((1 - np.abs(a)) ** 2 - 0.45 + 0.4 * b)


def wrinkled(d, p, amount, seed):
    """d with wrinkles, which are worked out only where the surface is near."""
    near = np.abs(d) < 0.03
    out = d.copy()
    out[near] += wrinkles(p[near], amount, seed)
    return out


def upper_part(g, j):
    """Bodice or jacket with its sleeves and neckline."""
    ease = g.get("ease", 0.008)
    seed = g.get("seed", 1)
    low = g.get("hem_top", 1.06)
    sleeve = g.get("sleeve", 0.0)  # 0 none, 0.5 to the elbow, 1 to the wrist
    depth = g.get("neck_depth", 0.055)
    width = g.get("neck_width", 0.085)

    def distance(p):
        d = body.torso(p, g.get("bust", 1.0)) - ease
        if g.get("straight"):  # hangs from the bust instead of following the waist
            a, r = around(p)
            hang = 0.151 * np.sqrt(1 / ((np.sin(a) / 1.06) ** 2 + (np.cos(a) / 0.76) ** 2)) + ease
            d = sdf.union(d, np.maximum(r - hang - 0.02 * np.clip(1.25 - p[:, 2], 0, 1), p[:, 2] - 1.27), 0.08)
        d = sdf.intersect(d, low - p[:, 2], 0.004)
        for side in "lr":
            s, e, w = (j[k + side] for k in ("shoulder_", "elbow_", "wrist_"))
            if sleeve > 0:
                upper = s + (e - s) * min(sleeve * 2, 1.0)
                tube = sdf.capsule(p, s, upper, 0.047 + ease, 0.040 + ease)
                if sleeve > 0.5:
                    end = e + (w - e) * (sleeve - 0.5) * 2 * 0.97
                    tube = sdf.union(tube, sdf.capsule(p, e, end, 0.040 + ease, 0.028 + ease), 0.02)
                last = end if sleeve > 0.5 else upper
                way = (last - (e if sleeve > 0.5 else s)) / np.linalg.norm(last - (e if sleeve > 0.5 else s))
                tube = sdf.intersect(tube, (p - last.astype(np.float32)) @ way.astype(np.float32), 0.004)
                d = sdf.union(d, tube, 0.03)
            else:
                sx = 1 if side == "l" else -1
                hole = sdf.ellipsoid(p, (0.188 * sx, 0.0, 1.385), (0.050, 0.12, 0.098))
                d = sdf.subtract(d, hole, 0.006)
        a, _ = around(p)
        neck = np.sqrt((p[:, 0] / width) ** 2 + ((p[:, 2] - 1.475) / np.where(p[:, 1] < 0.0, depth, 0.060)) ** 2) - 1.0
        if g.get("v_neck"):
            neck = np.maximum(np.abs(p[:, 0]) / width - np.clip((p[:, 2] - 1.475 + depth) / depth, 0, 1.2), 1.475 - depth - p[:, 2])
            neck = np.where(p[:, 1] < 0.0, neck, np.sqrt((p[:, 0] / 0.075) ** 2 + ((p[:, 2] - 1.475) / 0.055) ** 2) - 1.0)
        d = sdf.subtract(d, neck * min(width, 0.05), 0.004)
        return wrinkled(d, p, g.get("wrinkle", 0.004), seed).astype(np.float32)

    return distance


def skirt(g):
    """Skirt from the waist down with folds that grow towards the hem."""
    top, hem = 1.10, g["hem"]
    flare, folds, depth = g.get("flare", 0.06), g.get("folds", 9), g.get("fold_depth", 0.018)
    ease, seed = g.get("ease", 0.008), g.get("seed", 1)

    def distance(p):
        a, r = around(p, (0.0, 0.006))
        z = p[:, 2]
        t = np.clip((0.93 - z) / max(0.93 - hem, 0.05), 0, 1)
        half = np.interp(z, [0.88, 0.96, 1.02, 1.09, 1.16], [0.178, 0.172, 0.150, 0.128, 0.130]) + ease
        deep = np.interp(z, [0.86, 0.92, 0.96, 1.02, 1.09, 1.16], [0.138, 0.134, 0.118, 0.097, 0.086, 0.09]) + ease
        half, deep = half + flare * t**1.1, deep + flare * t**1.1
        radius = 1 / np.sqrt((np.sin(a) / half) ** 2 + (np.cos(a) / deep) ** 2)
        warp = a + 0.35 * np.sin(2 * a + seed) + 0.22 * np.sin(3 * a + seed * 2.1) + 0.10 * np.sin(z * 7 + seed)
        wave = 0.62 * np.sin(folds * warp) + 0.3 * np.sin((folds * 2 - 3) * warp + 1.3) + 0.2 * np.sin(folds * 0.5 * warp + seed)
        grow = np.clip((1.07 - z) / max(1.07 - hem, 0.05), 0, 1) ** (0.55 if g.get("gathered") else 1.2)
        d = (r - radius - depth * grow * wave) * 0.80
        d = wrinkled(d, p, g.get("wrinkle", 0.004) * 0.6, seed + 5)
        hem_line = hem + 0.006 * np.sin(folds * warp)
        return sdf.intersect(sdf.intersect(d, z - top, 0.004), hem_line - z, 0.004).astype(np.float32)

    return distance


def under_skirt(g, gap=0.006):
    """What the body has to stay inside of under a skirt; free above the waist and below the hem."""
    cloth = skirt(g)

    def distance(p):
        free = np.maximum(p[:, 2] - 1.04, g["hem"] + 0.05 - p[:, 2])
        out = np.full(len(p), -1.0, np.float32)
        inside = free < 0
        out[inside] = np.minimum(cloth(p[inside]) + gap, 0.3)
        # Fades over 3 cm at both ends, so that the body keeps a smooth surface.
        return np.where(free < 0, out - np.clip(0.03 + free, 0, 0.03), -1.0).astype(np.float32)

    return distance


def trousers(g, j):
    top, ease, flare = 1.08, g.get("leg_ease", 0.022), g.get("leg_flare", 0.035)

    def distance(p):
        d = np.maximum(body.torso(p) - 0.016, np.maximum(p[:, 2] - top, 0.74 - p[:, 2]))
        for side in "lr":
            hip, knee, ankle = (j[k + side] for k in ("hip_", "knee_", "ankle_"))
            end = ankle + (knee - ankle) * g.get("leg_rise", 0.04)
            limb = sdf.capsule(p, hip, knee, 0.086 + ease * 0.5, 0.058 + ease)
            limb = sdf.union(limb, sdf.capsule(p, knee, end, 0.058 + ease, 0.050 + flare), 0.05)
            limb = sdf.intersect(limb, end[2] - p[:, 2], 0.004)
            d = sdf.union(d, limb, 0.03)
        d = wrinkled(d, p, g.get("wrinkle", 0.004), g.get("seed", 1) + 9)
        crease = 0.003 * np.sin(14 * np.arctan2(p[:, 0], -p[:, 1])) * np.clip(0.8 - p[:, 2], 0, 1)
        return (d + crease).astype(np.float32)

    return distance


def belt(g):
    at, high = g.get("belt_at", 1.085), g.get("belt_height", 0.018)
    ease = g.get("ease", 0.008) + 0.011

    def distance(p):
        a, r = around(p, (0.0, 0.003))
        radius = 1 / np.sqrt((np.sin(a) / (0.122 + ease)) ** 2 + (np.cos(a) / (0.083 + ease)) ** 2)
        shell = np.abs(r - radius) * 0.9 - 0.006
        return np.maximum(shell, np.abs(p[:, 2] - at) - high).astype(np.float32)

    return distance


def collar(p):
    """A folded collar: a ring around the neck that is open in front."""
    height = 0.045
    a, r = around(p, (0.0, 0.018))
    z = p[:, 2] - 1.452 - 0.030 * np.cos(a) * -1 * 0.6
    radius = 0.064 + 0.030 * np.clip(-z / height + 0.5, 0, 1.4) + 0.010 * np.abs(np.sin(a))
    shell = np.abs(r - radius) * 0.75 - 0.0035
    gap = (0.34 - np.abs(a)) * 0.08 + np.clip(-z, -1, 1) * 0.25
    return np.maximum(np.maximum(shell, np.abs(z) - height), gap).astype(np.float32)
