"""The camera: where it stands for a crop, thin lens, shutter; and what follows from them in px."""
import math

import bpy
import numpy as np

SENSOR_HEIGHT_MM = 36.0  # a 24 x 36 mm sensor held upright
CROPS = {"full": (-0.13, 1.90), "knee": (0.33, 1.87), "waist": (0.80, 1.84), "detail": (1.10, 1.49)}  # lowest and highest point in frame, m


def stand(span, lens_mm, heading_deg, spot, slide=0.0):
    """Camera position, aim point and distance (m) so that the span (lowest and highest point, m) fills the frame's height."""
    low, high = span
    distance = (high - low) * lens_mm / SENSOR_HEIGHT_MM
    middle = (low + high) / 2
    a = math.radians(heading_deg)
    right, away = np.array([math.cos(a), math.sin(a), 0]), np.array([-math.sin(a), math.cos(a), 0])
    aim = np.array([spot[0], spot[1], middle]) + right * slide
    eye_level = 0.55 * middle + 0.45 * 1.30
    return aim - away * distance + np.array([0, 0, eye_level - middle]), aim, distance


def blur_disc_px(distance, focus, lens_mm, f_number, height_px):
    """Diameter of the blur disc of a point, in px of the frame (thin lens; all distances in m)."""
    lens = lens_mm / 1000.0
    disc = lens * lens / (f_number * (focus - lens)) * abs(distance - focus) / distance
    return disc / (SENSOR_HEIGHT_MM / 1000.0) * height_px


def depth_of(point, position, aim):
    """Distance of a point along the optical axis."""
    axis = (aim - position) / np.linalg.norm(aim - position)
    return float((np.asarray(point) - position) @ axis)


def build(frame, position, aim, focus):
    scene = bpy.context.scene
    data = bpy.data.cameras.new("camera")
    data.sensor_fit, data.sensor_height, data.lens = "VERTICAL", SENSOR_HEIGHT_MM, frame["lensMm"]
    data.dof.use_dof, data.dof.focus_distance, data.dof.aperture_fstop = True, focus, frame["fNumber"]
    data.dof.aperture_blades = 9
    data.clip_end = 400
    obj = bpy.data.objects.new("camera", data)
    scene.collection.objects.link(obj)
    scene.camera = obj
    obj.location = position
    way = aim - position
    pitch = math.atan2(way[2], math.hypot(way[0], way[1]))
    obj.rotation_euler = (math.pi / 2 + pitch, 0, math.atan2(-way[0], way[1]))
    return obj


def sweep(obj, channel, change):
    """Moves an object evenly by change (array of 3) during the exposure, which lasts from scene frame 0.5 to 1.5."""
    middle = np.array(getattr(obj, channel))
    for at, share in ((0.5, -0.5), (1.5, 0.5)):
        setattr(obj, channel, middle + np.asarray(change) * share)
        obj.keyframe_insert(channel, frame=at)
    for curve in obj.animation_data.action.fcurves:
        for key in curve.keyframe_points:
            key.interpolation = "LINEAR"


def in_frame(points, camera_obj):
    """Points (n, 3) in world space to shares of the frame (n, 2), origin top left."""
    scene = bpy.context.scene
    matrix = np.array(camera_obj.matrix_world.inverted())
    local = points @ matrix[:3, :3].T + matrix[:3, 3]
    aspect = scene.render.resolution_x / scene.render.resolution_y
    half = SENSOR_HEIGHT_MM / 2 / camera_obj.data.lens
    depth = np.maximum(-local[:, 2], 1e-3)
    return np.stack([0.5 + local[:, 0] / depth / (2 * half * aspect), 0.5 - local[:, 1] / depth / (2 * half)], 1)
