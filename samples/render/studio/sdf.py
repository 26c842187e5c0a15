"""Solid modelling with signed distance functions (metres, negative inside) and their conversion to meshes.

Primitives after I. Quilez, "Distance functions" (iquilezles.org, 2008 ff.); polygonisation by naive surface nets
(S. F. Frisken Gibson, "Constrained elastic surface nets", MICCAI 1998). Points are float32 arrays of shape (n, 3).
"""
import numpy as np

BLOCK = 8  # samples along the edge of a block; only blocks near the surface are evaluated in full


def vec(*values):
    return np.array(values, dtype=np.float32)


def length(v):
    return np.sqrt(np.einsum("ij,ij->i", v, v))


def sphere(p, centre, radius):
    return length(p - vec(*centre)) - radius


def ellipsoid(p, centre, radii):
    """First-order distance to an ellipsoid; exact on the surface."""
    r = vec(*radii)
    q = p - vec(*centre)
    k0 = length(q / r)
    k1 = length(q / (r * r))
    return k0 * (k0 - 1.0) / np.maximum(k1, 1e-6)


def capsule(p, a, b, ra, rb=None):
    """Line segment from a to b with a radius that changes linearly from ra to rb."""
    a, b = vec(*a), vec(*b)
    rb = ra if rb is None else rb
    ab = b - a
    t = np.clip((p - a) @ ab / max(float(ab @ ab), 1e-12), 0.0, 1.0)
    return length(p - a - t[:, None] * ab) - (ra + (rb - ra) * t)


def box(p, centre, half, rounding=0.0):
    q = np.abs(p - vec(*centre)) - (vec(*half) - rounding)
    return length(np.maximum(q, 0.0)) + np.minimum(q.max(axis=1), 0.0) - rounding


def union(a, b, k=0.0):
    """Smooth union; k is the width of the blend."""
    if k <= 0.0:
        return np.minimum(a, b)
    h = np.maximum(k - np.abs(a - b), 0.0) / k
    return np.minimum(a, b) - h * h * k * 0.25


def subtract(a, b, k=0.0):
    """a without b."""
    return -union(-a, b, k)


def intersect(a, b, k=0.0):
    return -union(-a, -b, k)


def mirror(p):
    """Points folded to x >= 0, for parts that exist on both sides."""
    q = p.copy()
    q[:, 0] = np.abs(q[:, 0])
    return q


def noise(p, scale, seed=0):
    """Smooth value noise in -1..1, one feature every 1/scale metres."""
    q = p * scale + np.float32(seed * 17.31)
    i = np.floor(q).astype(np.int64)
    f = (q - i).astype(np.float32)
    f = f * f * (3.0 - 2.0 * f)
    total = np.zeros(len(p), np.float32)
    for dx in (0, 1):
        for dy in (0, 1):
            for dz in (0, 1):
                h = (i[:, 0] + dx) * 374761393 + (i[:, 1] + dy) * 668265263 + (i[:, 2] + dz) * 2147483647
                h = (h ^ (h >> 13)) * 1274126177
                value = ((h ^ (h >> 16)) & 0xFFFF).astype(np.float32) / 32767.5 - 1.0
                wx = f[:, 0] if dx else 1.0 - f[:, 0]
                wy = f[:, 1] if dy else 1.0 - f[:, 1]
                wz = f[:, 2] if dz else 1.0 - f[:, 2]
                total += value * wx * wy * wz
    return total


def sample(fn, low, high, step):
    """Values of fn on a grid over the box low..high. Blocks far from the surface get only the sign of their centre."""
    low = np.asarray(low, np.float32)
    blocks = np.ceil((np.asarray(high, np.float32) - low) / (step * BLOCK)).astype(int)
    grid = np.stack(np.meshgrid(*[np.arange(n) for n in blocks], indexing="ij"), -1).reshape(-1, 3)
    centres = (low + (grid * BLOCK + (BLOCK - 1) / 2) * step).astype(np.float32)
    far = fn(centres)
    reach = step * BLOCK * 0.5 * 1.75 * 1.6  # half diagonal, with room for functions that are not exact distances
    near = grid[np.abs(far) < reach]
    # Only the blocks around the surface, and one more on every side, are kept: a limb is small in the box of a whole figure.
    first, last = np.maximum(near.min(0) - 1, 0), np.minimum(near.max(0) + 2, blocks)
    low, near = (low + first * (BLOCK * step)).astype(np.float32), near - first
    kept = np.sign(far).reshape(blocks)[tuple(slice(a, b) for a, b in zip(first, last))].astype(np.float32)
    volume = np.repeat(np.repeat(np.repeat(kept, BLOCK, 0), BLOCK, 1), BLOCK, 2)
    inner = np.stack(np.meshgrid(*[np.arange(BLOCK)] * 3, indexing="ij"), -1).reshape(-1, 3)
    for start in range(0, len(near), 2000):
        index = (near[start : start + 2000, None, :] * BLOCK + inner[None]).reshape(-1, 3)
        values = fn((low + index * step).astype(np.float32))
        volume[index[:, 0], index[:, 1], index[:, 2]] = values
    return volume, low


def surface_nets(volume, low, step):
    """Mesh of the zero surface: (vertices (n, 3), quads (m, 4)), normals outwards."""
    inside = volume < 0
    corners = [(dx, dy, dz) for dx in (0, 1) for dy in (0, 1) for dz in (0, 1)]
    size = np.array(volume.shape) - 1
    cut = [slice(0, n) for n in size]

    def corner(array, c):
        return array[c[0] : c[0] + size[0], c[1] : c[1] + size[1], c[2] : c[2] + size[2]]

    count = sum(corner(inside, c).astype(np.int8) for c in corners)
    cells = np.argwhere((count > 0) & (count < 8))
    values = np.stack([volume[tuple((cells + c).T)] for c in corners], 1)
    total = np.zeros((len(cells), 3), np.float32)
    hits = np.zeros(len(cells), np.float32)
    for i, a in enumerate(corners):
        for j, b in enumerate(corners):
            if j <= i or sum(abs(x - y) for x, y in zip(a, b)) != 1:
                continue
            va, vb = values[:, i], values[:, j]
            crosses = (va < 0) != (vb < 0)
            t = np.where(crosses, va / np.where(va == vb, 1, va - vb), 0)[:, None]
            total += np.where(crosses[:, None], vec(*a) + t * (vec(*b) - vec(*a)), 0)
            hits += crosses
    vertices = low + (cells + total / hits[:, None]) * step
    index = np.full(size, -1, np.int32)
    index[tuple(cells.T)] = np.arange(len(cells))
    quads = []
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        a = inside[tuple(slice(None, -1) if k == axis else slice(None) for k in range(3))]
        b = inside[tuple(slice(1, None) if k == axis else slice(None) for k in range(3))]
        edges = np.argwhere(a != b)
        edges = edges[(edges[:, u] > 0) & (edges[:, v] > 0) & (edges[:, u] < size[u]) & (edges[:, v] < size[v])]
        leaving = a[tuple(edges.T)]
        ring = []
        for du, dv in ((1, 1), (0, 1), (0, 0), (1, 0)):
            cell = edges.copy()
            cell[:, u] -= du
            cell[:, v] -= dv
            ring.append(index[tuple(cell.T)])
        ring = np.stack(ring, 1)
        quads.append(np.where(leaving[:, None], ring, ring[:, ::-1]))
    return vertices.astype(np.float32), np.concatenate(quads)


def polygonise(fn, low, high, step):
    """Mesh of fn's zero surface inside the box low..high with cells of the given size (m)."""
    volume, origin = sample(fn, low, high, step)
    return surface_nets(volume, origin, step)
