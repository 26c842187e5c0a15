"""From scene-linear render to camera-like picture: passes joined, exposure, flash band, sensor noise, tone curve."""
import struct
import zlib

import bpy
import numpy as np

# The multiplier that shows a sunlit white at about 90 % of full scale when the exposure is EV100 = 15 ("sunny 16", ISO 2720).
SUNNY_EV100, SUNNY_GAIN = 15.0, 0.60
FULL_WELL_E, READ_NOISE_E = 52000.0, 4.0  # a 24 x 36 mm sensor at ISO 100, typical published measurements (from memory)


def load(path):
    """An EXR as float32 (height, width, 4), top row first."""
    image = bpy.data.images.load(path)
    image.colorspace_settings.name = "Linear"
    width, height = image.size
    pixels = np.empty(width * height * 4, np.float32)
    image.pixels.foreach_get(pixels)
    bpy.data.images.remove(image)
    return pixels.reshape(height, width, 4)[::-1]


def gaussian(a, sigma):
    """Separable Gaussian blur of (h, w, c), edges repeated."""
    if sigma <= 0:
        return a
    radius = int(np.ceil(sigma * 3))
    weights = np.exp(-0.5 * (np.arange(-radius, radius + 1) / sigma) ** 2).astype(np.float32)
    weights /= weights.sum()
    for axis in (0, 1):
        pad = [(0, 0)] * a.ndim
        pad[axis] = (radius, radius)
        padded = np.pad(a, pad, mode="edge")
        out = np.zeros_like(a)
        for i, w in enumerate(weights):
            out += w * (padded[i : i + a.shape[0]] if axis == 0 else padded[:, i : i + a.shape[1]])
        a = out
    return a


def denoise(picture, albedo, normal, rounds=3):
    """Takes render noise out of the light only: picture / albedo is smoothed where normals and light agree, then
    multiplied by albedo again, so that cloth, iris and lashes keep their detail. Edge-avoiding a-trous wavelets
    (Dammertz et al., High Performance Graphics 2010)."""
    base = np.maximum(albedo, 0.02)
    # Sky, leaves and soft outlines have short mean normals: no single surface to smooth along.
    solid = ((np.linalg.norm(normal, axis=-1, keepdims=True) > 0.6) & (albedo.min(-1, keepdims=True) > 0.004)).astype(np.float32)
    normal = normal / np.maximum(np.linalg.norm(normal, axis=-1, keepdims=True), 1e-6)
    lit = picture / base * solid
    kernel = np.float32([1, 2, 1]) / 4
    for k in range(rounds):
        gap = 2**k
        total, weights = np.zeros_like(lit), np.zeros(lit.shape[:2] + (1,), np.float32)
        level = np.log(np.maximum(gaussian(lit.mean(-1, keepdims=True), 1.5 * gap), 1e-3))
        for i in (-1, 0, 1):
            for j in (-1, 0, 1):
                shift = (i * gap, j * gap)
                agree = np.clip(np.einsum("ijk,ijk->ij", normal, np.roll(normal, shift, (0, 1))), 0, 1)[..., None]
                agree = (agree * agree * agree) ** 2  # to the 24th power by products, which is faster
                agree = agree * agree * agree * agree
                near = np.exp(-((level - np.roll(level, shift, (0, 1))) ** 2) / 0.06)
                w = kernel[i + 1] * kernel[j + 1] * agree * near * np.roll(solid, shift, (0, 1))
                total += w * np.roll(lit, shift, (0, 1))
                weights += w
        lit = total / np.maximum(weights, 1e-6)
    return np.where(solid > 0, lit * base, picture)


def smooth_by_disc(picture, disc_px):
    """Takes render noise out of what the lens has blurred anyway: a Gaussian of a fifth of the local blur disc."""
    wanted = np.clip(disc_px * 0.2, 0, 8)
    levels = [0.0, 1.0, 2.0, 4.0, 8.0]
    out = np.zeros_like(picture)
    blurred = [gaussian(picture, s) for s in levels]
    for k in range(len(levels)):
        below = levels[k - 1] if k else -1.0
        above = levels[k + 1] if k + 1 < len(levels) else 1e9
        weight = np.clip(np.minimum((wanted - below) / (levels[k] - below), (above - wanted) / (above - levels[k])), 0, 1)
        out += blurred[k] * weight[..., None]
    return out


def enlarge(a, height, width):
    """Resize with pixel centres aligned, by cubic convolution (R. G. Keys, IEEE Trans. ASSP 29(6), 1981)."""
    for axis, n_out in ((0, height), (1, width)):
        n_in = a.shape[axis]
        if n_in == n_out:
            continue
        at = (np.arange(n_out) + 0.5) * n_in / n_out - 0.5
        first = np.floor(at).astype(int)
        t = (at - first).astype(np.float32)
        weights = (-0.5 * t**3 + t**2 - 0.5 * t, 1.5 * t**3 - 2.5 * t**2 + 1, -1.5 * t**3 + 2 * t**2 + 0.5 * t, 0.5 * t**3 - 0.5 * t**2)
        shape = [1, 1, 1]
        shape[axis] = n_out
        a = sum(np.take(a, np.clip(first + k - 1, 0, n_in - 1), axis=axis) * w.reshape(shape) for k, w in enumerate(weights))
    return a


def gain(frame):
    """Linear exposure multiplier from f-number, exposure time and ISO."""
    ev100 = np.log2(frame["fNumber"] ** 2 / frame["exposureS"] * 100.0 / frame["iso"])
    return SUNNY_GAIN * 2.0 ** (SUNNY_EV100 - ev100)


def shutter_band(width, frame):
    """Share of the flash that each column receives. The curtains run along the sensor's short side, which lies across an
    upright frame: a shutter faster than its sync time never opens fully and leaves a soft-edged band without flash."""
    open_share = frame["exposureS"] / frame["syncS"]
    if open_share >= 1.0:
        return np.ones(width, np.float32)
    columns = np.arange(width) / width
    return np.clip((open_share + 0.03 - columns) / 0.05, 0, 1).astype(np.float32)


def tone(linear):
    """Gentle shoulder and toe, then the sRGB encoding (IEC 61966-2-1). What exceeds full scale is clipped, as on a sensor."""
    x = np.clip(linear, 0, 1)
    x = x * (1.06 - 0.06 * x)
    encoded = np.where(x <= 0.0031308, 12.92 * x, 1.055 * x ** (1 / 2.4) - 0.055)
    return np.clip(encoded + 0.035 * np.sin((encoded - 0.5) * 2 * np.pi) * encoded * (1 - encoded) * 4 * 0.5, 0, 1)


def sensor_noise(linear, iso, rng):
    """Photon and read noise at full scale = full well / (ISO / 100)."""
    electrons = FULL_WELL_E * 100.0 / iso
    variance = np.maximum(linear, 0) / electrons + (READ_NOISE_E / electrons) ** 2
    return linear + rng.normal(size=linear.shape).astype(np.float32) * np.sqrt(variance) * 0.8  # demosaicing averages neighbours


def write_png16(path, encoded):
    """RGB 0..1 as a 16-bit PNG (ISO/IEC 15948)."""
    height, width, _ = encoded.shape
    rows = np.round(encoded * 65535).astype(">u2").tobytes()
    stride = width * 6
    raw = b"".join(b"\0" + rows[i * stride : (i + 1) * stride] for i in range(height))

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)
    with open(path, "wb") as f:
        f.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(raw, 1)) + chunk(b"IEND", b""))
