"""Renders the frames of plan.json. Run inside Blender:

    nice -n 19 blender -b --python samples/render/render.py -- --work /tmp/shoot/out [--only linen-shift] [--scale 0.25] [--threads 1]

Frames that are in the work folder already are skipped, so an interrupted run goes on where it stopped.
"""
import argparse
import json
import os
import sys
import time

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)
from studio import figure, shot  # noqa: E402


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--work", required=True)
    parser.add_argument("--only", default="", help="part of <garment>/<file> that must occur")
    parser.add_argument("--scale", type=float, default=1.0)
    parser.add_argument("--threads", type=int, default=1)
    options = parser.parse_args(sys.argv[sys.argv.index("--") + 1 :])
    os.makedirs(options.work, exist_ok=True)
    figure.CACHE = os.path.join(options.work, "meshes")
    with open(os.path.join(HERE, "plan.json")) as f:
        plan = json.load(f)
    for garment in plan["garments"]:
        for number, frame in enumerate(garment["frames"]):
            if options.only not in f"{garment['id']}/{frame['file']}":
                continue
            started = time.time()
            whole = {**plan["defaults"], **plan["bodies"][frame["body"]]["settings"], **garment.get("settings", {}), **frame, "number": number}
            size = [round(s * options.scale) for s in whole["sizePx"]]
            # The lens blurs the place: a smaller picture of it, with more samples a px, shows the same.
            passes = {**plan["passes"][whole["crop"]], **frame.get("passes", {})}
            if shot.make(garment, whole, size, options.work, passes, options.threads):
                print(f"rendered {garment['id']}/{frame['file']} in {time.time() - started:.0f} s", flush=True)


main()
