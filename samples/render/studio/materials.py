"""Procedural materials: skin, eye, hair, cloth, stone, leaves, water. Colours are linear sRGB."""
import bpy


class Nodes:
    """Thin wrapper around a material's node tree so that a material reads as a formula."""

    def __init__(self, name):
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.tree.nodes.clear()

    def add(self, kind, inputs=None, **settings):
        node = self.tree.nodes.new(kind)
        for key, value in settings.items():
            setattr(node, key, value)
        for key, value in (inputs or {}).items():
            self.feed(node.inputs[key], value)
        return node

    def feed(self, socket, value):
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, socket)
        elif isinstance(value, bpy.types.Node):
            self.tree.links.new(value.outputs[0], socket)
        else:
            socket.default_value = value

    def math(self, operation, a, b=0.0, c=0.0):
        return self.add("ShaderNodeMath", {0: a, 1: b, 2: c}, operation=operation).outputs[0]

    def mix(self, factor, a, b, blend="MIX"):
        node = self.add("ShaderNodeMixRGB", {0: factor, 1: a, 2: b}, blend_type=blend)
        return node.outputs[0]

    def ramp(self, value, stops):
        node = self.add("ShaderNodeValToRGB", {0: value})
        elements = node.color_ramp.elements
        while len(elements) < len(stops):
            elements.new(0.5)
        for element, (position, colour) in zip(elements, stops):
            element.position = position
            element.color = colour if len(colour) == 4 else (*colour, 1)
        return node.outputs[0]

    def attribute(self, name):
        return self.add("ShaderNodeAttribute", attribute_name=name)

    def noise(self, scale, detail=3.0, coordinates=None, rough=0.5):
        inputs = {"Scale": scale, "Detail": detail, "Roughness": rough}
        inputs["Vector"] = coordinates if coordinates is not None else self.object_coordinates()
        return self.add("ShaderNodeTexNoise", inputs).outputs[0]

    def object_coordinates(self):
        return self.add("ShaderNodeTexCoord").outputs["Object"]

    def split(self, vector):
        return self.add("ShaderNodeSeparateXYZ", {0: vector}).outputs

    def join(self, x, y, z):
        return self.add("ShaderNodeCombineXYZ", {0: x, 1: y, 2: z}).outputs[0]

    def bump(self, height, distance, strength=1.0):
        return self.add("ShaderNodeBump", {"Height": height, "Distance": distance, "Strength": strength}).outputs[0]

    def principled(self, **inputs):
        names = {key.replace("_", " "): value for key, value in inputs.items()}
        shader = self.add("ShaderNodeBsdfPrincipled", names)
        out = self.add("ShaderNodeOutputMaterial", {0: shader.outputs[0]})
        return out


def rgb(colour):
    return (*colour[:3], 1.0)


def skin(name, tone=(0.52, 0.30, 0.20), lip=(0.42, 0.10, 0.09)):
    """Skin with blotches, pores and the paint of the face (attribute "paint": lips, blush, brow shade, lid shade)."""
    n = Nodes(name)
    paint = n.add("ShaderNodeSeparateRGB", {0: n.attribute("paint").outputs["Color"]}).outputs
    lid = n.attribute("paint").outputs["Alpha"]
    dark = tuple(c * f for c, f in zip(tone, (0.86, 0.76, 0.70)))
    base = n.mix(n.noise(38.0, 4), rgb(tone), rgb(dark))
    base = n.mix(n.math("MULTIPLY", n.noise(420.0, 2), 0.10), base, rgb(tuple(c * 0.7 for c in tone)))
    base = n.mix(n.math("MULTIPLY", paint[1], 0.40), base, rgb((tone[0] * 1.0, tone[1] * 0.62, tone[2] * 0.62)))
    base = n.mix(n.math("MULTIPLY", lid, 0.62), base, rgb((0.10, 0.05, 0.04)))
    base = n.mix(n.math("MULTIPLY", paint[2], 0.62), base, rgb((0.055, 0.03, 0.02)))
    base = n.mix(n.math("MULTIPLY", paint[0], 0.85), base, rgb(lip))
    rough = n.math("SUBTRACT", 0.50, n.math("MULTIPLY", paint[0], 0.20))
    pores = n.bump(n.noise(500.0, 2), 0.0001, 0.15)
    n.principled(Base_Color=base, Roughness=rough, Specular=0.35, Normal=pores, Sheen=0.15)
    return n.material


def eye(name, iris=(0.10, 0.16, 0.11), radius=0.012, iris_share=0.49):
    """Eyeball: white with a faint red net, iris with fibres and a dark rim, pupil, wet coat. Local forward axis is -Y."""
    n = Nodes(name)
    x, y, z = n.split(n.object_coordinates())
    r = n.math("DIVIDE", n.math("SQRT", n.math("ADD", n.math("MULTIPLY", x, x), n.math("MULTIPLY", z, z))), radius)
    r = n.math("ADD", r, n.math("MULTIPLY", n.math("GREATER_THAN", y, 0.0), 2.0))
    angle = n.math("ARCTAN2", z, x)
    spokes = n.noise(9.0, 3, n.join(n.math("COSINE", angle), n.math("SINE", angle), n.math("MULTIPLY", r, 0.25)))
    colour = n.mix(n.ramp(spokes, [(0.38, (0, 0, 0)), (0.62, (1, 1, 1))]), rgb(tuple(c * 0.55 for c in iris)), rgb(tuple(min(c * 1.9, 1) for c in iris)))
    white = n.mix(n.noise(400.0, 4), rgb((0.62, 0.58, 0.55)), rgb((0.74, 0.71, 0.69)))
    limbus = n.ramp(r, [(iris_share * 0.82, (0, 0, 0)), (iris_share * 0.98, (0.9, 0.9, 0.9))])
    colour = n.mix(limbus, colour, rgb((0.015, 0.012, 0.010)))
    colour = n.mix(n.ramp(r, [(iris_share * 0.98, (0, 0, 0)), (iris_share * 1.06, (1, 1, 1))]), colour, white)
    colour = n.mix(n.ramp(r, [(0.185, (0, 0, 0)), (0.205, (1, 1, 1))]), rgb((0.002, 0.002, 0.002)), colour)
    n.principled(Base_Color=colour, Roughness=0.35, Specular=0.3, Clearcoat=1.0, Clearcoat_Roughness=0.02)
    return n.material


def hair(name, colour=(0.055, 0.028, 0.014)):
    n = Nodes(name)
    shade = n.attribute("strand").outputs["Fac"]
    base = n.mix(shade, rgb(tuple(c * 0.55 for c in colour)), rgb(tuple(c * 1.7 for c in colour)))
    n.principled(Base_Color=base, Roughness=0.36, Specular=0.55, Sheen=0.3)
    return n.material


def plain(name, colour, roughness=0.5, specular=0.4, grain=0.0, scale=60.0):
    """One colour with optional grain (relative strength)."""
    n = Nodes(name)
    base = rgb(colour)
    extra = {}
    if grain > 0:
        value = n.noise(scale, 5)
        base = n.mix(value, rgb(tuple(c * (1 - grain) for c in colour)), rgb(tuple(min(c * (1 + grain), 1) for c in colour)))
        extra["Normal"] = n.bump(value, 0.002, 0.4)
    n.principled(Base_Color=base, Roughness=roughness, Specular=specular, **extra)
    return n.material


def cloth(name, g):
    """Woven cloth. Attribute "axis" (x, y, radius, along) gives each point its thread coordinates, so that a sleeve's
    weave runs round the sleeve. g["pattern"]: plain, stripes, dots, checks or flowers, in g["colour"] and g["second"]."""
    n = Nodes(name)
    x, y, _ = n.split(n.object_coordinates())
    axis = n.attribute("axis")
    ax, ay, radius = n.split(axis.outputs["Vector"])
    along = axis.outputs["Alpha"]
    angle = n.math("ARCTAN2", n.math("SUBTRACT", x, ax), n.math("SUBTRACT", ay, y))
    u = n.math("MULTIPLY", angle, radius)
    uv = n.join(u, along, 0.0)
    colour, second = rgb(g["colour"]), rgb(g.get("second", g["colour"]))
    pattern, size = g.get("pattern", "plain"), g.get("pattern_size", 0.03)
    base = colour
    if pattern == "stripes":
        wave = n.math("FRACT", n.math("DIVIDE", along, size))
        base = n.mix(n.math("GREATER_THAN", wave, g.get("pattern_share", 0.6)), colour, second)
    elif pattern == "checks":
        a = n.math("GREATER_THAN", n.math("FRACT", n.math("DIVIDE", along, size)), 0.5)
        b = n.math("GREATER_THAN", n.math("FRACT", n.math("DIVIDE", u, size)), 0.5)
        base = n.mix(n.math("MULTIPLY", n.math("ADD", a, b), 0.5), colour, second)
    elif pattern in ("dots", "flowers"):
        jitter = 0.0 if pattern == "dots" else 0.75
        cell = n.add("ShaderNodeTexVoronoi", {"Vector": uv, "Scale": 1 / size, "Randomness": jitter}, voronoi_dimensions="2D")
        inside = n.math("LESS_THAN", cell.outputs["Distance"], 0.24)
        base = n.mix(inside, colour, second)
        if pattern == "flowers":
            petals = n.add("ShaderNodeTexVoronoi", {"Vector": uv, "Scale": 2.6 / size, "Randomness": 1.0}, voronoi_dimensions="2D")
            leaf = n.math("LESS_THAN", petals.outputs["Distance"], 0.21)
            base = n.mix(leaf, base, rgb(g["third"]))
            base = n.mix(n.math("LESS_THAN", cell.outputs["Distance"], 0.09), base, rgb(g["third"]))
    warp = n.noise(1.0, 2, n.join(n.math("MULTIPLY", u, 1500.0), n.math("MULTIPLY", along, 45.0), 0.0))
    weft = n.noise(1.0, 2, n.join(n.math("MULTIPLY", u, 45.0), n.math("MULTIPLY", along, 1500.0), 7.0))
    threads = n.math("ADD", n.math("MULTIPLY", warp, 0.5), n.math("MULTIPLY", weft, 0.5))
    slub = n.noise(1.0, 3, n.join(n.math("MULTIPLY", u, 260.0), n.math("MULTIPLY", along, 14.0), 3.0))
    contrast = g.get("weave", 0.5)
    dark = n.ramp(threads, [(0.30, (1 - contrast,) * 3), (0.70, (1.0 + contrast * 0.15,) * 3)])
    base = n.mix(1.0, base, dark, "MULTIPLY")
    base = n.mix(n.math("MULTIPLY", slub, 0.25 * contrast), base, n.mix(0.6, base, rgb((0, 0, 0))))
    n.principled(Base_Color=base, Roughness=g.get("rough", 0.85), Specular=g.get("shine", 0.15), Sheen=0.25,
                 Normal=n.bump(threads, 0.0006, 0.5))
    return n.material
