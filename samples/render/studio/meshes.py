"""Numpy arrays into Blender mesh objects."""
import bpy
import numpy as np


def mesh_object(name, vertices, faces, materials=(), attributes=None, smooth=True):
    """A mesh object linked to the scene. faces: (m, 3 or 4) indices; attributes: name -> (n,) or (n, 4) per vertex."""
    vertices = np.ascontiguousarray(vertices, np.float32)
    faces = np.ascontiguousarray(faces, np.int32)
    mesh = bpy.data.meshes.new(name)
    mesh.vertices.add(len(vertices))
    mesh.vertices.foreach_set("co", vertices.ravel())
    mesh.loops.add(faces.size)
    mesh.loops.foreach_set("vertex_index", faces.ravel())
    mesh.polygons.add(len(faces))
    sides = faces.shape[1]
    mesh.polygons.foreach_set("loop_start", np.arange(0, faces.size, sides, dtype=np.int32))
    mesh.polygons.foreach_set("loop_total", np.full(len(faces), sides, np.int32))
    mesh.polygons.foreach_set("use_smooth", np.full(len(faces), smooth))
    mesh.update(calc_edges=True)
    for key, values in (attributes or {}).items():
        kind = "FLOAT" if values.ndim == 1 else "FLOAT_COLOR"
        layer = mesh.attributes.new(key, kind, "POINT")
        layer.data.foreach_set("value" if kind == "FLOAT" else "color", np.ascontiguousarray(values, np.float32).ravel())
    obj = bpy.data.objects.new(name, mesh)
    for material in materials:
        mesh.materials.append(material)
    bpy.context.scene.collection.objects.link(obj)
    return obj


def tubes(lines, widths, sides=3):
    """Tapering tubes around polylines of equal length: lines (n, k, 3), widths (n,) or (n, k). Returns (vertices, quads)."""
    lines = np.asarray(lines, np.float32)
    n, k, _ = lines.shape
    widths = np.asarray(widths, np.float32)
    if widths.ndim == 1:
        widths = widths[:, None] * np.linspace(1.0, 0.25, k)[None]
    tangent = np.gradient(lines, axis=1)
    tangent /= np.maximum(np.linalg.norm(tangent, axis=2, keepdims=True), 1e-9)
    helper = np.where(np.abs(tangent[..., 2:3]) < 0.9, np.float32([0, 0, 1]), np.float32([1, 0, 0]))
    u = np.cross(tangent, helper)
    u /= np.maximum(np.linalg.norm(u, axis=2, keepdims=True), 1e-9)
    v = np.cross(tangent, u)
    angle = np.arange(sides) * 2 * np.pi / sides
    ring = u[:, :, None] * np.cos(angle)[None, None, :, None] + v[:, :, None] * np.sin(angle)[None, None, :, None]
    vertices = lines[:, :, None] + ring * widths[:, :, None, None] * 0.5
    base = np.arange(n * k * sides).reshape(n, k, sides)
    a, b = base[:, :-1], base[:, 1:]
    quads = np.stack([a, np.roll(a, -1, 2), np.roll(b, -1, 2), b], -1)
    return vertices.reshape(-1, 3), quads.reshape(-1, 4)


def uv_ball(radius, rows=24, columns=32):
    """A sphere whose poles lie on the Y axis: (vertices, quads)."""
    theta = np.linspace(0.0, np.pi, rows + 1)[:, None]
    phi = np.arange(columns)[None] * 2 * np.pi / columns
    y = -np.cos(theta) * np.ones_like(phi)
    x, z = np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi)
    vertices = np.stack([x, y, z], -1).reshape(-1, 3) * radius
    index = np.arange((rows + 1) * columns).reshape(rows + 1, columns)
    a, b = index[:-1], index[1:]
    quads = np.stack([a, b, np.roll(b, -1, 1), np.roll(a, -1, 1)], -1).reshape(-1, 4)
    return vertices, quads
