"""Everything the demo shoot is built from: figure, clothes, place, light, camera. Runs inside Blender's Python with numpy only."""
