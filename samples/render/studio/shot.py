"""One frame of the plan: scene, the two render passes (place, model), the finished picture and its truth."""
import json
import math
import os

import bpy
import numpy as np

from . import body, camera, develop, figure, light, place

MODEL_INDEX = 1
STAGE = set()  # names of the objects that stay from frame to frame


def world_vertices(builder):
    bpy.context.view_layer.update()
    out = []
    for obj in builder.objects:
        n = len(obj.data.vertices)
        flat = np.empty(n * 3, np.float32)
        obj.data.vertices.foreach_get("co", flat)
        step = max(1, n // 4000)
        matrix = np.array(obj.matrix_world)
        out.append(flat.reshape(-1, 3)[::step] @ matrix[:3, :3].T + matrix[:3, 3])
    return np.concatenate(out)


def outputs(folder, kinds):
    """Compositor that writes the wanted passes as single EXR files in folder."""
    scene = bpy.context.scene
    scene.use_nodes = True
    tree = scene.node_tree
    tree.nodes.clear()
    layers = tree.nodes.new("CompositorNodeRLayers")
    for name, socket, mode in kinds:
        node = tree.nodes.new("CompositorNodeOutputFile")
        node.base_path = folder
        node.format.file_format, node.format.color_depth, node.format.color_mode = "OPEN_EXR", "32" if mode == "RGB" else "16", "RGBA"
        node.format.exr_codec = "ZIP"
        node.file_slots[0].path = name + "-"
        tree.links.new(layers.outputs[socket], node.inputs[0])


def settings(threads):
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    c = scene.cycles
    c.use_denoising, c.use_adaptive_sampling, c.seed = False, False, 7
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transmission_bounces, c.transparent_max_bounces = 3, 1, 1, 1, 4
    c.caustics_reflective = c.caustics_refractive = False
    c.sample_clamp_indirect, c.sample_clamp_direct = 3.0, 12.0
    c.pixel_filter_type, c.filter_width = "BLACKMAN_HARRIS", 1.5
    scene.render.threads_mode, scene.render.threads = "FIXED", threads
    scene.render.use_persistent_data = True
    layer = scene.view_layers[0]
    layer.use_pass_object_index = layer.use_pass_material_index = layer.use_pass_z = layer.use_pass_normal = layer.use_pass_diffuse_color = True


def show(objects, visible):
    for obj in objects:
        obj.visible_camera = visible


def set_stage():
    """The empty place: built once a process, afterwards only cleared of what a frame put into it."""
    if not STAGE:
        bpy.ops.wm.read_factory_settings(use_empty=True)
        place.build()
        STAGE.update(obj.name for obj in bpy.data.objects)
        return
    for obj in [o for o in bpy.data.objects if o.name not in STAGE]:
        bpy.data.objects.remove(obj)
    for world in list(bpy.data.worlds):
        bpy.data.worlds.remove(world)
    bpy.ops.outliner.orphans_purge(do_recursive=True)
    scene = bpy.context.scene
    scene.render.film_transparent = scene.render.use_border = False
    show([o for o in scene.objects if o.type == "MESH"], True)


def compose(garment, frame):
    """Builds the scene of a frame. Returns (model, passers-by, camera object, geometry)."""
    set_stage()
    heading, spot = garment.get("headingDeg", 0.0), garment.get("spot", [0.0, 0.0])
    a = math.radians(heading)
    right, away = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
    pose = {"base": frame["pose"], "head_yaw": frame.get("headYaw", 0), "head_pitch": frame.get("headPitch", 0),
            "head_tilt": frame.get("headTilt", 0), "gaze_yaw": frame.get("gazeYaw", 0)}
    model = figure.build("model", garment["look"], garment["model"], pose, MODEL_INDEX, True, 0.0034, garment["seed"])
    model.root.location = (*spot, 0)
    model.root.rotation_euler = (0, 0, a + math.radians(frame["turnDeg"]))
    people = []
    for i, person in enumerate(frame.get("people", [])):
        other = figure.build(f"passer{i}", person["look"], person["model"], person["pose"], MODEL_INDEX + 1 + i, person.get("detail", False), 0.004, 50 + i)
        at = np.array(spot) + right * person["at"][0] + away * person["at"][1]
        other.root.location = (*at, person.get("up", 0.0))
        other.root.rotation_euler = (0, 0, a + math.radians(person["turnDeg"]))
        people.append(other)
    position, aim, distance = camera.stand(frame.get("span", camera.CROPS[frame["crop"]]), frame["lensMm"], heading, spot, frame.get("slide", 0.0))
    bpy.context.view_layer.update()
    matrix = np.array(model.pivot.matrix_world)
    eyes = matrix[:3, :3] @ (np.array([0, -0.0795, 0.0]) + body.HEAD_CENTRE - np.array([0, 0.012, 1.545])) + matrix[:3, 3]
    cloth_at = np.array([*spot, 1.25]) - np.array([*away, 0]) * 0.11
    depth = {"eyes": camera.depth_of(eyes, position, aim), "garment": camera.depth_of(cloth_at, position, aim)}
    depth["background"] = camera.depth_of(np.array([*(np.array(spot) + away * 12), 1.2]), position, aim)
    sharpest = depth["garment"] if frame["crop"] == "detail" or abs(frame["turnDeg"]) > 120 else depth["eyes"]
    focus = sharpest + frame.get("focusBehindM", 0.0)
    obj = camera.build(frame, position, aim, focus)
    light.build({**garment["light"], **frame.get("light", {})}, frame["whiteBalanceK"], spot, heading)
    motion = frame.get("motion", {})
    if "subjectMPerS" in motion:
        speed = motion["subjectMPerS"]
        way = right * speed[0] + away * speed[1]
        camera.sweep(model.root, "location", np.array([*way, speed[2]]) * frame["exposureS"])
    if "shakeDegPerS" in motion:
        camera.sweep(obj, "rotation_euler", np.radians(np.array(motion["shakeDegPerS"])) * frame["exposureS"])
    return model, people, obj, {"focus": focus, "depth": depth, "distance": distance}


def render_passes(model, obj, frame, size, work, passes):
    """Renders place and model; returns dict of float arrays."""
    scene = bpy.context.scene
    width, height = size
    scene.render.resolution_x, scene.render.resolution_y = width, height
    scene.render.use_motion_blur = "motion" in frame
    scene.render.motion_blur_shutter, scene.cycles.motion_blur_position = 1.0, "CENTER"
    scene.frame_set(1)
    others = [o for o in scene.objects if o.type == "MESH" and o not in model.objects]
    flash = [("flash", "Combined_flash", "RGBA")] if scene.objects.get("flash") else []
    flash += [("albedo", "DiffCol", "RGBA"), ("normal", "Normal", "RGB")]
    extra = [("index", "IndexOB", "RGB"), ("matter", "IndexMA", "RGB"), ("depth", "Depth", "RGB")]
    got = {}

    def shoot(prefix, kinds):
        outputs(work, [(prefix + n, s, m) for n, s, m in kinds])
        bpy.ops.render.render()
        for name, _, _ in kinds:
            path = os.path.join(work, f"{prefix}{name}-0001.exr")
            got[prefix + name] = develop.load(path)
            os.remove(path)

    show(model.objects, False)
    scene.render.resolution_percentage = round(passes["placeShare"] * 100)
    scene.cycles.samples = passes["place"]
    shoot("place-", [("image", "Image", "RGBA"), *flash, extra[0], extra[2]])
    show(model.objects, True)
    show(others, False)
    scene.render.film_transparent = True
    scene.render.resolution_percentage = round(passes["modelShare"] * 100)
    scene.cycles.samples = passes["model"]
    spots = camera.in_frame(world_vertices(model), obj)
    low, high = np.clip(spots.min(0) - 0.03, 0, 1), np.clip(spots.max(0) + 0.03, 0, 1)
    scene.render.use_border, scene.render.use_crop_to_border = True, False
    scene.render.border_min_x, scene.render.border_max_x = low[0], high[0]
    scene.render.border_min_y, scene.render.border_max_y = 1 - high[1], 1 - low[1]
    shoot("model-", [("image", "Image", "RGBA"), *flash, *extra[:2]])
    return got


def finish(got, frame, geometry, size, seed):
    """Joins the passes and gives the encoded picture (h, w, 3) and the linear one before noise."""
    width, height = size
    share = got["place-image"].shape[0] / height
    depth = np.clip(got["place-depth"][..., 0], 0.3, 200)
    depth = develop.gaussian(np.log(depth)[..., None], 3)[..., 0]
    disc = camera.blur_disc_px(np.exp(depth), geometry["focus"], frame["lensMm"], frame["fNumber"], height * share)

    def part(prefix, kind):
        whole = got[f"{prefix}-{kind}"][..., :3].copy()
        filled = np.argwhere(got[prefix + "-image"][..., 3] > 0)
        (top, left), (bottom, right) = filled.min(0), filled.max(0) + 1
        cut = np.s_[top:bottom, left:right]
        whole[cut] = develop.denoise(whole[cut], *(got[f"{prefix}-{name}"][cut][..., :3] for name in ("albedo", "normal")))
        return whole

    def lit(prefix):
        """A pass with the flash only where the shutter was open for it."""
        whole = part(prefix, "image")
        if prefix + "-flash" not in got:
            return whole
        band = develop.shutter_band(whole.shape[1], frame)[None, :, None]
        return np.maximum(whole - part(prefix, "flash") * (1 - band), 0)

    def model(layer):
        """The model's layer in full size. Specks of the few samples in what the lens has blurred are smoothed as the plan says."""
        return develop.enlarge(develop.gaussian(layer, frame.get("passes", {}).get("smoothPx", 0) * layer.shape[0] / height), height, width)

    back = np.maximum(develop.enlarge(develop.smooth_by_disc(lit("place"), disc), height, width), 0)
    front, alpha = np.maximum(model(lit("model")), 0), np.clip(model(got["model-image"][..., 3:4]), 0, 1)
    linear = (front + back * (1 - alpha)) * develop.gain(frame)
    rng = np.random.default_rng(seed)
    return develop.tone(develop.sensor_noise(linear, frame["iso"], rng)), linear, alpha[..., 0]


def run_lengths(mask):
    """A mask as run lengths of its rows one after the other, starting with the length of the first run of 0."""
    flat = np.concatenate([[0], mask.astype(np.int8).ravel(), [1 - int(mask.ravel()[-1])]])
    edges = np.flatnonzero(np.diff(flat))
    return np.diff(np.concatenate([[0], edges])).tolist() if len(edges) else [int(mask.size)]


def small_mask(mask, rows=150):
    """Mask reduced to the given number of rows by averaging."""
    h, w = mask.shape
    columns = round(w * rows / h)
    y, x = np.linspace(0, h, rows + 1).astype(int), np.linspace(0, w, columns + 1).astype(int)
    sums = np.add.reduceat(np.add.reduceat(mask.astype(np.float64), y[:-1], 0), x[:-1], 1)
    return sums / np.outer(np.diff(y), np.diff(x)) > 0.5


def truth(garment, frame, got, geometry, model, people, obj, linear, alpha, size):
    width, height = size
    matter = got["model-matter"][..., 0].round()
    rows = (np.arange(height) * matter.shape[0] // height)[:, None]
    matter = matter[rows, (np.arange(width) * matter.shape[1] // width)[None]]
    cloth, skin = ((matter == kind) & (alpha > 0.98) for kind in (figure.CLOTH, figure.SKIN))
    discs = {k: round(camera.blur_disc_px(d, geometry["focus"], frame["lensMm"], frame["fNumber"], height), 2) for k, d in geometry["depth"].items()}
    persons = []
    for i, person in enumerate([model, *people]):
        spots = camera.in_frame(world_vertices(person), obj)
        low, high = np.clip(spots.min(0), 0, 1), np.clip(spots.max(0), 0, 1)
        mask = alpha > 0.5 if i == 0 else got["place-index"][..., 0].round() == MODEL_INDEX + i
        if i:
            mask = small_mask(mask) & ~small_mask(alpha > 0.5)
        if i and not mask.any():
            continue
        small = small_mask(mask, 150) if i == 0 else mask
        persons.append({"role": "model" if i == 0 else "passer-by", "box": [round(float(v), 4) for v in (*low, *(high - low))],
                        "boxReachesOutside": bool((spots.min(0) < 0).any() or (spots.max(0) > 1).any()),
                        "shareOfFrame": round(float(small.mean()), 5), "mask": {"rows": small.shape[0], "columns": small.shape[1], "runs": run_lengths(small)}})
    clipped = (linear >= 1.0).any(-1)
    lamps = {**garment["light"], **frame.get("light", {})}
    lit = {k: {"kelvin": v["kelvin"], "xy": [round(float(c), 5) for c in light.daylight_xy(v["kelvin"])]} for k, v in lamps.items() if isinstance(v, dict) and "kelvin" in v}
    ratio = frame["exposureS"]
    motion = frame.get("motion", {})
    focal_px = frame["lensMm"] / camera.SENSOR_HEIGHT_MM * height
    smear = 0.0
    if "subjectMPerS" in motion:
        smear = math.hypot(motion["subjectMPerS"][0], motion["subjectMPerS"][2]) * ratio / geometry["depth"]["eyes"] * focal_px
    if "shakeDegPerS" in motion:
        smear = math.hypot(motion["shakeDegPerS"][0], motion["shakeDegPerS"][2]) * math.pi / 180 * ratio * focal_px
    view = {0: "front", 180: "back", 90: "side"}.get(abs(frame["turnDeg"]), "three-quarter")
    return {"frame": f"{garment['id']}/{frame['file']}", "crop": frame["crop"], "view": "detail" if frame["crop"] == "detail" else view,
            "planted": frame.get("planted", []), "focusDistanceM": round(geometry["focus"], 4),
            "distanceM": {k: round(v, 4) for k, v in geometry["depth"].items()}, "blurDiscPx": discs, "motionPx": round(smear, 2), "smoothedPx": frame.get("passes", {}).get("smoothPx", 0),
            "light": lit, "whiteBalanceK": frame["whiteBalanceK"],
            "clippedShare": {"garment": round(float(clipped[cloth].mean()), 5) if cloth.any() else None,
                             "skin": round(float(clipped[skin].mean()), 5) if skin.any() else None, "frame": round(float(clipped.mean()), 5)},
            "people": persons, "size": [width, height]}


def make(garment, frame, size, work, passes, threads):
    """Renders one frame into work: <garment>--<file>.png and .truth.json. passes: size of the place's picture as a share, samples a px of place and model."""
    stem = os.path.join(work, f"{garment['id']}--{os.path.splitext(frame['file'])[0]}")
    if os.path.exists(stem + ".png"):
        return False
    model, people, obj, geometry = compose(garment, frame)
    settings(threads)
    got = render_passes(model, obj, frame, size, work, passes)
    encoded, linear, alpha = finish(got, frame, geometry, size, garment["seed"] * 1000 + frame["number"])
    with open(stem + ".truth.json", "w") as f:
        json.dump(truth(garment, frame, got, geometry, model, people, obj, linear, alpha, size), f)
    develop.write_png16(stem + ".part", encoded)
    os.replace(stem + ".part", stem + ".png")
    return True
