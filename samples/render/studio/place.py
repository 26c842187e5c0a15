"""The place: a paved river embankment with a stone parapet, plane trees, lamps, a bench, and the far bank behind the water.

The model stands at the origin; the camera looks roughly along +Y.
"""
import math

import bpy
import numpy as np

from . import meshes
from .materials import Nodes, plain, rgb

BANK = 8.6  # where the parapet stands, m behind the model


def box(name, centre, size, material, turn=0.0):
    """A block with its edges broken by a small bevel."""
    x, y, z = (s / 2 for s in size)
    corners = np.array([(sx * x, sy * y, sz * z) for sx in (-1, 1) for sy in (-1, 1) for sz in (-1, 1)])
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    obj = meshes.mesh_object(name, corners, faces, [material], smooth=False)
    obj.location, obj.rotation_euler = centre, (0, 0, turn)
    bevel = obj.modifiers.new("edge", "BEVEL")
    bevel.width, bevel.segments = min(0.012, min(size) * 0.2), 2
    return obj


def paving():
    n = Nodes("paving")
    at = n.object_coordinates()
    slabs = n.add("ShaderNodeTexBrick", {"Vector": at, "Scale": 1.0, "Brick Width": 0.62, "Row Height": 0.41, "Mortar Size": 0.008, "Mortar Smooth": 0.3,
                  "Color1": rgb((0.26, 0.235, 0.205)), "Color2": rgb((0.33, 0.30, 0.265)), "Mortar": rgb((0.09, 0.08, 0.07))})
    grain = n.noise(160.0, 6, at)
    stain = n.noise(1.4, 5, at)
    base = n.mix(0.5, slabs.outputs["Color"], n.ramp(grain, [(0.3, (0.35,) * 3), (0.75, (1.0,) * 3)]), "MULTIPLY")
    base = n.mix(n.math("MULTIPLY", stain, 0.5), base, rgb((0.12, 0.11, 0.095)))
    height = n.math("SUBTRACT", n.math("MULTIPLY", grain, 0.2), slabs.outputs["Fac"])
    n.principled(Base_Color=base, Roughness=0.8, Specular=0.3, Normal=n.bump(height, 0.006, 0.8))
    return n.material


def stone():
    n = Nodes("stone")
    at = n.object_coordinates()
    info = n.add("ShaderNodeObjectInfo").outputs["Random"]
    tone = n.ramp(info, [(0.0, (0.30, 0.28, 0.245)), (1.0, (0.44, 0.41, 0.36))])
    spots = n.noise(55.0, 8, at, 0.65)
    base = n.mix(0.75, tone, n.ramp(spots, [(0.3, (0.3,) * 3), (0.65, (1.0,) * 3)]), "MULTIPLY")
    n.principled(Base_Color=base, Roughness=0.9, Specular=0.2, Normal=n.bump(spots, 0.01, 0.6))
    return n.material


def water():
    n = Nodes("water")
    x, y, _ = n.split(n.object_coordinates())
    ripples = n.noise(1.0, 4, n.join(n.math("MULTIPLY", x, 0.9), n.math("MULTIPLY", y, 2.6), 0.0))
    n.principled(Base_Color=rgb((0.035, 0.060, 0.055)), Roughness=0.06, Specular=0.5, Normal=n.bump(ripples, 0.25, 0.5))
    return n.material


def facade(colour, seed):
    n = Nodes(f"facade{seed}")
    x, y, z = n.split(n.object_coordinates())
    u = n.math("ADD", x, y)
    column = n.math("FRACT", n.math("DIVIDE", u, 1.7))
    floor = n.math("FRACT", n.math("DIVIDE", z, 3.1))
    window = n.math("MULTIPLY", n.math("COMPARE", column, 0.5, 0.24), n.math("COMPARE", floor, 0.5, 0.29))
    wall = n.mix(n.noise(0.6, 4), rgb(colour), rgb(tuple(c * 0.72 for c in colour)))
    base = n.mix(window, wall, rgb((0.05, 0.065, 0.08)))
    rough = n.math("SUBTRACT", 0.9, n.math("MULTIPLY", window, 0.75))
    n.principled(Base_Color=base, Roughness=rough, Specular=0.4)
    return n.material


def leaf():
    n = Nodes("leaf")
    tone = n.attribute("tone").outputs["Fac"]
    base = n.ramp(tone, [(0.0, (0.030, 0.075, 0.012)), (0.6, (0.085, 0.155, 0.026)), (1.0, (0.20, 0.24, 0.045))])
    shader = n.add("ShaderNodeBsdfDiffuse", {"Color": base})
    through = n.add("ShaderNodeBsdfTranslucent", {"Color": n.mix(0.5, base, rgb((0.25, 0.35, 0.03)))})
    n.add("ShaderNodeOutputMaterial", {0: n.add("ShaderNodeMixShader", {0: 0.35, 1: shader, 2: through})})
    return n.material


def tree_mesh(rng, height=8.0, crown=2.6, leaves=16000):
    """Crown of leaf blades in clumps: (vertices, quads, tone per vertex)."""
    clumps = rng.normal(size=(140, 3))
    clumps /= np.linalg.norm(clumps, axis=1, keepdims=True)
    clumps *= (crown * (0.45 + 0.55 * rng.random(140) ** 0.5))[:, None] * np.array([1, 1, 0.85])
    which = rng.integers(0, 140, leaves)
    at = clumps[which] + rng.normal(0, 0.32, (leaves, 3)) + np.array([0, 0, height - crown * 0.7])
    u = rng.normal(size=(leaves, 3))
    u /= np.linalg.norm(u, axis=1, keepdims=True)
    v = np.cross(u, rng.normal(size=(leaves, 3)))
    v /= np.linalg.norm(v, axis=1, keepdims=True)
    size = 0.085 * (0.7 + 0.6 * rng.random(leaves))[:, None]
    blade = np.stack([at - u * size, at + v * size * 0.55, at + u * size, at - v * size * 0.55], 1)
    tone = np.clip(rng.random(140)[which] * 0.6 + rng.random(leaves) * 0.4, 0, 1)
    return blade.reshape(-1, 3), np.arange(leaves * 4).reshape(-1, 4), np.repeat(tone, 4).astype(np.float32)


def tree(name, at, crown, bark, turn, size=1.0):
    """Trunk and boughs, and a crown that shares its mesh with the other trees."""
    obj = bpy.data.objects.new(name, crown)
    bpy.context.scene.collection.objects.link(obj)
    obj.location, obj.rotation_euler, obj.scale = at, (0, 0, turn), (size,) * 3
    lines = [[(0, 0, -0.2), (0.05, 0.02, 1.5), (0.0, 0.08, 3.0), (0.1, 0.0, 4.6), (0.15, 0.1, 6.0)]]
    widths = [[0.46, 0.36, 0.32, 0.24, 0.12]]
    for k in range(5):
        a = k * 2.4 + turn
        end = np.array([math.cos(a) * 1.7, math.sin(a) * 1.7, 6.0 + 0.3 * k])
        start = np.array([0.0, 0.05, 3.0 + 0.3 * k])
        lines.append([start + (end - start) * t + np.array([0, 0, 0.25 * math.sin(3.14 * t)]) for t in np.linspace(0, 1, 5)])
        widths.append([0.2, 0.16, 0.12, 0.08, 0.04])
    v, f = meshes.tubes(np.array(lines), np.array(widths), 12)
    trunk = meshes.mesh_object(name + ".trunk", v, f, [bark])
    trunk.location, trunk.scale = at, (size,) * 3
    return obj


def build(seed=4):
    """Everything that stands still. Returns nothing; figures are added by the caller."""
    rng = np.random.default_rng(seed)
    ground = meshes.mesh_object("ground", np.array([(-40, -20, 0), (40, -20, 0), (40, BANK, 0), (-40, BANK, 0)]), [(0, 1, 2, 3)], [paving()], smooth=False)
    ground.location = (0, 0, 0)
    meshes.mesh_object("water", np.array([(-150, BANK, -2.4), (150, BANK, -2.4), (150, 70, -2.4), (-150, 70, -2.4)]), [(0, 1, 2, 3)], [water()], smooth=False)
    wall = stone()
    for i in range(-26, 27):
        box(f"parapet{i}", (i * 1.25, BANK - 0.15, 0.42), (1.238, 0.36, 0.92), wall)
        box(f"coping{i}", (i * 1.25 + 0.4, BANK - 0.15, 0.94), (1.242, 0.50, 0.13), wall)
    iron = plain("iron", (0.018, 0.022, 0.020), 0.4, 0.5)
    lamp_glass = plain("lamp-glass", (0.80, 0.78, 0.70), 0.2, 0.5)
    for k, x in enumerate((-8.4, 1.9, 13.0)):
        lines = np.array([[(0, 0, 0), (0, 0, 0.5), (0, 0, 0.9), (0, 0, 2.2), (0, 0, 3.6)]])
        v, f = meshes.tubes(lines, np.array([[0.24, 0.20, 0.11, 0.09, 0.075]]), 16)
        post = meshes.mesh_object(f"lamp{k}", v, f, [iron])
        post.location = (x, BANK - 0.7, 0)
        v, f = meshes.uv_ball(0.19)
        globe = meshes.mesh_object(f"globe{k}", v, f, [lamp_glass])
        globe.location = (x, BANK - 0.7, 3.78)
    wood = plain("wood", (0.20, 0.10, 0.045), 0.55, 0.35, 0.35, 40)
    for k, x in enumerate((-3.3, 8.2)):
        for i in range(4):
            box(f"seat{k}{i}", (x, BANK - 1.18 + i * 0.11, 0.44), (1.7, 0.085, 0.035), wood)
            box(f"back{k}{i}", (x, BANK - 0.76 + i * 0.012, 0.56 + i * 0.11), (1.7, 0.03, 0.085), wood)
        for s in (-0.75, 0.75):
            box(f"leg{k}{s}", (x + s, BANK - 1.0, 0.22), (0.06, 0.46, 0.44), iron)
            box(f"arm{k}{s}", (x + s, BANK - 0.72, 0.62), (0.06, 0.05, 0.80), iron)
    blades, quads, tone = tree_mesh(rng)
    first = meshes.mesh_object("crown0", blades, quads, [leaf()], {"tone": tone}, smooth=False)
    bark = plain("bark", (0.20, 0.175, 0.135), 0.9, 0.2, 0.5, 14)
    bpy.context.scene.collection.objects.unlink(first)
    spots = [(-4.6, BANK - 1.9, 0, 1.0), (5.1, BANK - 1.7, 0, 1.05), (-13.5, BANK - 1.9, 0, 1.1), (14.5, BANK - 1.8, 0, 1.0)]
    spots += [(x + rng.normal(0, 1.2), 72 + rng.normal(0, 1.5), -1.0, 1.1 + 0.4 * rng.random()) for x in range(-54, 55, 6)]
    for i, (x, y, z, size) in enumerate(spots):
        tree(f"tree{i}", (x, y, z), first.data, bark, i * 1.7, size)
    box("quay", (0, 71, -1.7), (260, 3.0, 1.6), wall)
    lawn = plain("lawn", (0.07, 0.12, 0.03), 0.95, 0.1, 0.4, 3)
    meshes.mesh_object("lawn", np.array([(-150, 70, -0.9), (150, 70, -0.9), (150, 110, -0.9), (-150, 110, -0.9)]), [(0, 1, 2, 3)], [lawn], smooth=False)
    colours = [(0.48, 0.40, 0.30), (0.40, 0.23, 0.16), (0.52, 0.49, 0.44), (0.33, 0.31, 0.29), (0.50, 0.36, 0.22)]
    x, i = -100.0, 0
    while x < 100:
        width, tall = 9 + 9 * rng.random(), 9 + 10 * rng.random()
        box(f"house{i}", (x + width / 2, 92 + 5 * rng.random(), tall / 2 - 1), (width - 0.3, 12, tall), facade(colours[i % 5], i))
        x, i = x + width, i + 1
