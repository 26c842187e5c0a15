"""A dressed figure in the scene: one parent empty, the parts below it. The root stands on the ground, facing -Y."""
import hashlib
import math
import os

import bpy
import numpy as np

from . import body, clothes, hair, head, materials, meshes, sdf
from .garments import GARMENTS, MODELS, POSES

CLOTH, SKIN, HAIR, SHOE = 1, 2, 3, 4  # material pass indices


CACHE = None  # folder for meshes made earlier, or None


def polygonise(key, fn, low, high, step):
    """sdf.polygonise, remembered on disk under key and a hash of this package's modelling code."""
    if CACHE is None:
        return sdf.polygonise(fn, low, high, step)
    here = os.path.dirname(os.path.abspath(__file__))
    digest = hashlib.sha256(f"{key} {low} {high} {step}".encode())
    for name in ("body.py", "clothes.py", "garments.py", "hair.py", "head.py", "sdf.py"):
        with open(os.path.join(here, name), "rb") as f:
            digest.update(f.read())
    path = os.path.join(CACHE, digest.hexdigest()[:24] + ".npz")
    if not os.path.exists(path):
        v, f = sdf.polygonise(fn, low, high, step)
        os.makedirs(CACHE, exist_ok=True)
        np.savez(path, v=v, f=f)
    with np.load(path) as stored:
        return stored["v"], stored["f"]


class Builder:
    """Collects the objects of one figure under its root."""

    def __init__(self, name, index, key):
        self.root = bpy.data.objects.new(name, None)
        bpy.context.scene.collection.objects.link(self.root)
        self.name, self.index, self.objects, self.key = name, index, [], key

    def add(self, part, vertices, faces, material, kind, attributes=None, parent=None):
        material.pass_index = kind
        obj = meshes.mesh_object(f"{self.name}.{part}", vertices, faces, [material], attributes)
        obj.pass_index = self.index
        obj.parent = parent or self.root
        self.objects.append(obj)
        return obj


def thread_axes(vertices, j):
    """The "axis" attribute of clothes (see materials.cloth): torso points turn about the body, sleeve and leg points about the limb."""
    out = np.zeros((len(vertices), 4), np.float32)
    out[:, 2], out[:, 3] = 0.155, vertices[:, 2]
    trunk = body.torso(vertices)
    for side in "lr":
        a, b, c = (j[k + side].astype(np.float32) for k in ("shoulder_", "elbow_", "wrist_"))
        limb = np.minimum(sdf.capsule(vertices, a, b, 0.045), sdf.capsule(vertices, b, c, 0.04))
        chosen = limb < trunk - 0.004
        for start, end, offset in ((a, b, 0.0), (b, c, body.UPPER_ARM)):
            way = (end - start) / np.linalg.norm(end - start)
            t = np.clip((vertices - start) @ way, 0 if offset else -1, np.linalg.norm(end - start) if not offset else 1)
            nearer = chosen & ((t < body.UPPER_ARM - 1e-4) if not offset else (t > 0))
            foot = start + t[:, None] * way
            out[nearer] = np.concatenate([foot[:, :2], np.full((len(t), 1), 0.045), 1.402 - (t + offset)[:, None]], 1)[nearer]
    return out


def add_head(b, style, pose, detail, rng):
    """Head, eyes, lashes, brows and hair under an empty that turns about the top of the neck."""
    pivot = bpy.data.objects.new(b.name + ".head-pivot", None)
    bpy.context.scene.collection.objects.link(pivot)
    pivot.parent = b.root
    centre = body.HEAD_CENTRE
    pivot.location = (0, 0.012, 1.545)
    pivot.rotation_euler = (math.radians(pose.get("head_pitch", 0)), math.radians(pose.get("head_tilt", 0)), math.radians(pose.get("head_yaw", 0)))
    shift = (centre - np.array([0, 0.012, 1.545])).astype(np.float32)
    paint_skin = materials.skin(b.name + ".face", style["tone"], style["lip"])
    v, f = polygonise("head", lambda p: head.head(p * 100) / 100, (-0.09, -0.12, -0.125), (0.09, 0.11, 0.125), 0.0011 if detail else 0.004)
    b.add("head", v + shift, f, paint_skin, SKIN, {"paint": head.face_paint(v * 100)}, pivot)
    eye = materials.eye(b.name + ".eye", style["iris"])
    for side in (-1, 1):
        v, f = meshes.uv_ball(head.EYE_RADIUS / 100, 48, 64)
        ball = b.add(f"eye{side}", v, f, eye, SKIN, None, pivot)
        ball.location = sdf.vec(side * head.EYE[0], head.EYE[1], head.EYE[2]) / 100 + shift
        ball.rotation_euler = (math.radians(pose.get("gaze_pitch", 0)), 0, math.radians(pose.get("gaze_yaw", 0)))
    hair_material = materials.hair(b.name + ".hair", style["hair"])
    v, f = polygonise("cap", lambda p: hair.cap(p * 100) / 100, (-0.1, -0.11, -0.15), (0.1, 0.13, 0.13), 0.003)
    b.add("cap", v + shift, f, hair_material, HAIR, {"strand": np.full(len(v), 0.2, np.float32)}, pivot)

    def strands(part, lines, width, material=hair_material):
        v, f = meshes.tubes(lines / 100, np.full(len(lines), width / 100))
        shade = np.repeat(rng.random(len(lines)), lines.shape[1] * 3).astype(np.float32)
        b.add(part, v + shift, f, material, HAIR, {"strand": shade}, pivot)

    thin = 1 if detail else 6
    if style["style"] == "knot":
        lines, middle = hair.knot(rng, 9000 // thin)
        strands("hair", lines, 0.07 * thin**0.5)
        strands("knot", hair.coil(rng, middle, count=2600 // thin), 0.09 * thin**0.5)
        v, f = meshes.uv_ball(0.0285)
        b.add("knot-core", v * np.float32([1, 0.8, 1]) + (middle / 100).astype(np.float32) + shift, f, hair_material, HAIR, {"strand": np.full(len(v), 0.1, np.float32)}, pivot)
    else:
        strands("hair", hair.loose(rng, 12000 // thin), 0.08 * thin**0.5)
    if detail:
        dark = materials.plain(b.name + ".lash", (0.012, 0.008, 0.006))
        lines = head.lashes(rng)
        for count, part in ((4, "lashes"), (3, "brows")):
            chosen = [line for line in lines if len(line[0]) == count]
            v, f = meshes.tubes(np.array([line[0] for line in chosen]) / 100, np.array([line[1] for line in chosen]) / 100)
            b.add(part, v + shift, f, dark if count == 4 else hair_material, HAIR, {"strand": np.full(len(v), 0.1, np.float32)}, pivot)
    return pivot


def add_hands_and_feet(b, j, style, garment, step):
    skin_material = materials.skin(b.name + ".limbs", style["tone"], style["lip"])
    shoe_material = materials.plain(b.name + ".shoe", garment["shoe"], 0.35, 0.5, 0.15, 200)
    for side, s in (("l", 1), ("r", -1)):
        v, f = polygonise("hand" + side, body.hand(side), (-0.075, -0.075, -0.04), (0.075, 0.04, 0.19), step * 0.6)
        direction = j["wrist_" + side] - j["elbow_" + side]
        axes = body.frame_of(direction, np.array([s * 1.0, 0.25, 0.0]))
        v = v @ axes.T.astype(np.float32) + j["wrist_" + side].astype(np.float32)
        b.add("hand" + side, v, f, skin_material, SKIN, {"paint": np.zeros((len(v), 4), np.float32)})
        upper, foot = body.shoe()
        turn = math.radians(12 * s)
        rotate = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]], np.float32)
        ankle = np.array([*j["ankle_" + side][:2], 0.085], np.float32)
        for part, fn, material, kind in (("shoe", upper, shoe_material, SHOE), ("foot", foot, skin_material, SKIN)):
            v, f = polygonise(part, fn, (-0.06, -0.23, -0.10), (0.06, 0.09, 0.06), 0.003)
            attributes = {"paint": np.zeros((len(v), 4), np.float32)}
            b.add(part + side, v @ rotate.T + ankle, f, material, kind, attributes)


def add_clothes(b, j, garment, step):
    cloth = materials.cloth(b.name + ".cloth", garment)
    low, high = (-0.75, -0.75, 0.02), (0.75, 0.75, 1.75)

    def put(part, fn, material, size=step, kind=CLOTH):
        v, f = polygonise(b.key + part, fn, low, high, size)
        b.add(part, v, f, material, kind, {"axis": thread_axes(v, j)})

    put("upper", clothes.upper_part(garment, j), cloth)
    if "skirt" in garment["parts"]:
        lower = cloth
        if "skirt_colour" in garment:
            lower = materials.cloth(b.name + ".skirt", {**garment, "colour": garment["skirt_colour"], "pattern": "plain"})
        put("skirt", clothes.skirt(garment), lower)
    if "trousers" in garment["parts"]:
        put("trousers", clothes.trousers(garment, j), materials.cloth(b.name + ".trousers", {**garment, "colour": garment["trouser_colour"], "pattern": "plain"}))
    if garment.get("collar"):
        put("collar", clothes.collar, cloth, 0.002)
    if "belt" in garment:
        put("belt", clothes.belt(garment), materials.plain(b.name + ".belt", garment["belt"], 0.45, 0.4, 0.2, 300), 0.002)
    if "buttons" in garment:
        outside = clothes.upper_part(garment, j)
        metal = materials.plain(b.name + ".button", garment["buttons"], 0.3, 0.5)
        for z in np.arange(1.13, 1.40 - garment.get("neck_depth", 0.06), 0.062):
            at = np.array([[0.0, -0.25, z]], np.float32)
            for _ in range(40):
                at[:, 1] += outside(at) * 0.7
            v, f = polygonise("button", lambda p: np.maximum(np.hypot(p[:, 0], p[:, 2]) - 0.006, np.abs(p[:, 1]) - 0.0022), (-0.009, -0.004, -0.009), (0.009, 0.004, 0.009), 0.0007)
            b.add(f"button{z:.2f}", v + at[0], f, metal, CLOTH)


def build(name, garment, model, pose, index, detail=True, step=0.003, seed=0):
    """A figure standing at the origin. detail=False: coarse, for passers-by. Returns the Builder (root, objects)."""
    rng = np.random.default_rng(seed)
    g, style = GARMENTS[garment], MODELS[model]
    pose = dict(POSES[pose]) if isinstance(pose, str) else {**POSES[pose["base"]], **pose}
    step = step if detail else 0.007
    j = body.joints(pose)
    joint_key = sorted((k, v) for k, v in pose.items() if k.startswith(("wrist", "ankle", "elbow")))
    b = Builder(name, index, f"{garment} {joint_key}")
    cover = clothes.under_skirt(g) if "skirt" in g["parts"] else None
    v, f = polygonise(b.key + "body", body.body(j, g.get("bust", 1.0), cover), (-0.75, -0.75, 0.0), (0.75, 0.75, 1.75), step * 1.3)
    b.add("body", v, f, materials.skin(name + ".skin", style["tone"], style["lip"]), SKIN, {"paint": np.zeros((len(v), 4), np.float32)})
    add_hands_and_feet(b, j, style, g, step)
    add_clothes(b, j, g, step)
    b.pivot = add_head(b, style, pose, detail, rng)
    b.joints = j
    return b
