"""Sun, sky and flash, each with a colour temperature; white is what the camera's white balance calls white."""
import math

import bpy
import numpy as np

# CIE 1931 2-degree, sRGB primaries with D65 white (IEC 61966-2-1).
XYZ_TO_SRGB = np.array([[3.2404542, -1.5371385, -0.4985314], [-0.9692660, 1.8760108, 0.0415560], [0.0556434, -0.2040259, 1.0572252]])
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])  # ICC.1:2022 annex E
D65_XY = (0.31271, 0.32902)


def daylight_xy(kelvin):
    """Chromaticity of CIE daylight, 4000 to 25000 K (CIE 015:2018, 4.1.2)."""
    t = 1.0 / kelvin
    if kelvin <= 7000:
        x = 0.244063 + 0.09911e3 * t + 2.9678e6 * t**2 - 4.6070e9 * t**3
    else:
        x = 0.237040 + 0.24748e3 * t + 1.9018e6 * t**2 - 2.0064e9 * t**3
    return x, -3.000 * x * x + 2.870 * x - 0.275


def xyz(xy):
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


def seen_colour(light_kelvin, balance_kelvin):
    """Linear sRGB of a light as rendered by a camera balanced for another temperature (Bradford), luminance 1."""
    source, white, target = xyz(daylight_xy(light_kelvin)), xyz(daylight_xy(balance_kelvin)), xyz(D65_XY)
    adapted = np.linalg.inv(BRADFORD) @ ((BRADFORD @ source) * (BRADFORD @ target) / (BRADFORD @ white))
    return XYZ_TO_SRGB @ adapted


def build(light, balance_kelvin, origin, heading):
    """light: sun {kelvin, energy, elevation, azimuth}, sky {kelvin, strength}, optional flash {kelvin, energy, at, size}.

    Angles in degrees; the sun's azimuth and the flash's place count from the camera's heading and the model's spot. Flash light goes to its own light
    group, so that the shutter's band can be laid over it afterwards.
    """
    scene = bpy.context.scene
    for group in ("ambient", "flash"):
        if group not in scene.view_layers[0].lightgroups:
            scene.view_layers[0].lightgroups.add(name=group)
    world = bpy.data.worlds.new("sky")
    world.use_nodes = True
    world.lightgroup = "ambient"
    scene.world = world
    tree = world.node_tree
    background = tree.nodes["Background"]
    tint = seen_colour(light["sky"]["kelvin"], balance_kelvin)
    overcast = light["sky"].get("overcast", 0.3)
    coordinates = tree.nodes.new("ShaderNodeTexCoord")
    split = tree.nodes.new("ShaderNodeSeparateXYZ")
    tree.links.new(coordinates.outputs["Generated"], split.inputs[0])
    ramp = tree.nodes.new("ShaderNodeValToRGB")
    tree.links.new(split.outputs[2], ramp.inputs[0])
    horizon, zenith = np.array([0.93, 0.97, 1.02]), np.array([0.42, 0.62, 1.02])
    zenith = zenith * (1 - overcast) + np.array([0.9, 0.93, 0.97]) * overcast
    for element, colour in zip(ramp.color_ramp.elements, (horizon * tint, zenith * tint)):
        element.color = (*np.maximum(colour, 0), 1)
    ramp.color_ramp.elements[1].position = 0.55
    clouds = tree.nodes.new("ShaderNodeTexNoise")
    clouds.inputs["Scale"].default_value, clouds.inputs["Detail"].default_value = 2.2, 6
    tree.links.new(coordinates.outputs["Generated"], clouds.inputs["Vector"])
    cloud_ramp = tree.nodes.new("ShaderNodeValToRGB")
    cloud_ramp.color_ramp.elements[0].position, cloud_ramp.color_ramp.elements[1].position = 0.48, 0.68
    tree.links.new(clouds.outputs[0], cloud_ramp.inputs[0])
    mix = tree.nodes.new("ShaderNodeMixRGB")
    tree.links.new(cloud_ramp.outputs[0], mix.inputs[0])
    tree.links.new(ramp.outputs[0], mix.inputs[1])
    mix.inputs[2].default_value = (*(np.array([1.05, 1.05, 1.05]) * np.maximum(tint, 0)), 1)
    tree.links.new(mix.outputs[0], background.inputs["Color"])
    background.inputs["Strength"].default_value = light["sky"]["strength"]
    world.cycles.sampling_method = "MANUAL"
    world.cycles.sample_map_resolution = 256
    sun = light.get("sun")
    if sun:
        lamp = bpy.data.lights.new("sun", "SUN")
        lamp.energy, lamp.angle = sun["energy"], math.radians(sun.get("size", 0.53))
        lamp.color = np.maximum(seen_colour(sun["kelvin"], balance_kelvin), 0)
        obj = bpy.data.objects.new("sun", lamp)
        obj.rotation_euler = (math.radians(90 - sun["elevation"]), 0, math.radians(sun["azimuth"] + heading))
        obj.lightgroup = "ambient"
        scene.collection.objects.link(obj)
    flash = light.get("flash")
    if flash:
        lamp = bpy.data.lights.new("flash", "AREA")
        lamp.energy, lamp.size = flash["energy"], flash.get("size", 0.6)
        lamp.color = np.maximum(seen_colour(flash["kelvin"], balance_kelvin), 0)
        obj = bpy.data.objects.new("flash", lamp)
        a = math.radians(heading)
        right, away, up = flash["at"]
        obj.location = (origin[0] + right * math.cos(a) - away * math.sin(a), origin[1] + right * math.sin(a) + away * math.cos(a), up)
        constraint = obj.constraints.new("TRACK_TO")
        constraint.track_axis, constraint.up_axis = "TRACK_NEGATIVE_Z", "UP_Y"
        target = bpy.data.objects.new("flash-target", None)
        target.location = (*origin, 1.35)
        scene.collection.objects.link(target)
        constraint.target = target
        obj.lightgroup = "flash"
        obj.visible_camera = False
        scene.collection.objects.link(obj)
