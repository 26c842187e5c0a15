"""The clothes and the people of the demo shoot, as data. Colours are linear sRGB."""

GARMENTS = {
    "linen-shift": {
        "parts": ("upper", "skirt"), "colour": (0.22, 0.33, 0.24), "pattern": "plain", "weave": 0.75, "sleeve": 0.0,
        "neck_depth": 0.062, "neck_width": 0.090, "hem": 0.50, "flare": 0.045, "folds": 6, "fold_depth": 0.012, "ease": 0.010,
        "wrinkle": 0.006, "seed": 3, "shoe": (0.30, 0.17, 0.09), "belt": (0.20, 0.10, 0.05)},
    "tea-dress": {
        "parts": ("upper", "skirt"), "colour": (0.035, 0.060, 0.150), "second": (0.78, 0.72, 0.62), "third": (0.62, 0.15, 0.10),
        "pattern": "flowers", "pattern_size": 0.050, "weave": 0.55, "sleeve": 0.36, "v_neck": True, "neck_depth": 0.115,
        "neck_width": 0.075, "hem": 0.36, "flare": 0.130, "folds": 8, "fold_depth": 0.026, "wrinkle": 0.004, "seed": 5,
        "gathered": True, "shoe": (0.55, 0.42, 0.30)},
    "white-blouse": {
        "parts": ("upper", "skirt"), "colour": (0.74, 0.73, 0.70), "pattern": "plain", "weave": 0.45, "sleeve": 0.97,
        "neck_depth": 0.06, "neck_width": 0.075, "buttons": (0.55, 0.50, 0.42), "ease": 0.014, "wrinkle": 0.008, "seed": 8,
        "skirt_colour": (0.055, 0.058, 0.075), "hem": 0.52, "flare": 0.03, "folds": 5, "fold_depth": 0.010,
        "shoe": (0.03, 0.03, 0.03), "belt": (0.03, 0.02, 0.02)},
    "camel-coat": {
        "parts": ("upper", "skirt"), "colour": (0.42, 0.25, 0.12), "pattern": "plain", "weave": 0.65, "sleeve": 1.0,
        "neck_depth": 0.13, "neck_width": 0.07, "v_neck": True,
        "buttons": (0.10, 0.06, 0.04), "ease": 0.022, "wrinkle": 0.006, "seed": 13, "hem": 0.44, "flare": 0.075, "folds": 5,
        "fold_depth": 0.014, "belt": (0.36, 0.21, 0.10), "belt_height": 0.024, "shoe": (0.05, 0.03, 0.02), "rough": 0.95},
    "striped-knit": {
        "parts": ("upper", "trousers"), "colour": (0.70, 0.67, 0.60), "second": (0.035, 0.055, 0.12), "pattern": "stripes",
        "pattern_size": 0.034, "weave": 0.6, "sleeve": 0.80, "neck_depth": 0.045, "neck_width": 0.095, "hem_top": 0.965, "straight": True,
        "ease": 0.012, "wrinkle": 0.007, "seed": 21, "trouser_colour": (0.10, 0.13, 0.19), "shoe": (0.62, 0.60, 0.56)},
    "red-maxi": {
        "parts": ("upper", "skirt"), "colour": (0.43, 0.030, 0.035), "pattern": "plain", "weave": 0.5, "sleeve": 0.0, "v_neck": True,
        "neck_depth": 0.12, "neck_width": 0.080, "ease": 0.014, "hem": 0.13, "flare": 0.15, "folds": 7, "fold_depth": 0.032, "gathered": True,
        "wrinkle": 0.004, "seed": 34, "shoe": (0.25, 0.03, 0.03), "shine": 0.3, "rough": 0.6},
    "check-shirt": {  # worn by passers-by
        "parts": ("upper", "trousers"), "colour": (0.30, 0.34, 0.42), "second": (0.08, 0.10, 0.16), "pattern": "checks",
        "pattern_size": 0.05, "sleeve": 0.5, "neck_depth": 0.05, "neck_width": 0.07, "hem_top": 0.92, "straight": True, "ease": 0.02,
        "wrinkle": 0.008, "seed": 55, "trouser_colour": (0.20, 0.17, 0.12), "shoe": (0.06, 0.05, 0.04), "bust": 0.45},
    "yellow-jacket": {
        "parts": ("upper", "trousers"), "colour": (0.62, 0.36, 0.04), "pattern": "plain", "sleeve": 1.0, "collar": True,
        "neck_depth": 0.05, "neck_width": 0.065, "hem_top": 0.88, "straight": True, "ease": 0.028, "wrinkle": 0.009, "seed": 77,
        "trouser_colour": (0.05, 0.06, 0.09), "shoe": (0.35, 0.33, 0.30), "bust": 0.6},
}

MODELS = {
    "wren": {"tone": (0.50, 0.285, 0.195), "lip": (0.40, 0.095, 0.085), "iris": (0.10, 0.16, 0.11), "hair": (0.050, 0.026, 0.013), "style": "knot"},
    "sable": {"tone": (0.185, 0.088, 0.050), "lip": (0.20, 0.045, 0.045), "iris": (0.060, 0.030, 0.014), "hair": (0.010, 0.008, 0.007), "style": "knot"},
    "fallow": {"tone": (0.50, 0.290, 0.205), "lip": (0.44, 0.13, 0.12), "iris": (0.10, 0.15, 0.24), "hair": (0.20, 0.105, 0.042), "style": "loose"},
    "passer": {"tone": (0.42, 0.235, 0.155), "lip": (0.30, 0.11, 0.09), "iris": (0.06, 0.04, 0.03), "hair": (0.030, 0.020, 0.014), "style": "loose"},
}

POSES = {  # wrists and ankles in metres from the middle of the feet, mirrored for "r"
    "rest": {"wrist_l": (0.275, -0.03, 0.885), "wrist_r": (0.27, -0.02, 0.885), "ankle_l": (0.085, 0.03, 0.085), "ankle_r": (0.085, -0.05, 0.085)},
    "hip": {"wrist_l": (0.195, -0.045, 1.015), "elbow_l": (1.0, 0.45, 0.0), "wrist_r": (0.285, -0.02, 0.89), "ankle_l": (0.11, -0.03, 0.085), "ankle_r": (0.075, 0.04, 0.085)},
    "step": {"wrist_l": (0.265, -0.16, 0.93), "wrist_r": (0.27, 0.10, 0.91), "ankle_l": (0.055, 0.17, 0.105), "ankle_r": (0.065, -0.15, 0.085)},
    "wave": {"wrist_l": (0.33, -0.16, 1.58), "elbow_l": (1.0, 0.2, -1.0), "wrist_r": (0.27, -0.02, 0.885), "ankle_l": (0.10, 0.02, 0.085), "ankle_r": (0.10, 0.0, 0.085)},
}
