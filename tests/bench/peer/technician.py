"""What a studio's technician would write to look through a day's frames: OpenCV's own functions, one picture after the other.

Reads paths from standard input, one a line, and answers each with one line of JSON. Needs Debian's python3-opencv.
"""
import json
import resource
import sys
import time

import cv2
import numpy as np

# The detector sees people from 128 px on: reduced to this height, those a tenth of the frame tall are just found.
SEARCH_HEIGHT = 1280

people = cv2.HOGDescriptor()
people.setSVMDetector(cv2.HOGDescriptor_getDefaultPeopleDetector())


def look_at(path):
    picture = cv2.imread(path)
    grey = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY)
    height, width = grey.shape
    sharpness = cv2.Laplacian(grey, cv2.CV_64F).var()
    levels = [cv2.calcHist([picture], [channel], None, [256], [0, 256]).ravel() for channel in range(3)]
    blue, green, red = cv2.mean(picture)[:3]

    scale = min(1.0, SEARCH_HEIGHT / height)
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    boxes, weights = people.detectMultiScale(small, winStride=(8, 8), scale=1.05)
    return {
        "width": width,
        "height": height,
        "sharpness": float(sharpness),
        "clipped": [float(channel[255] / grey.size) for channel in levels],
        "blocked": [float(channel[0] / grey.size) for channel in levels],
        "greyWorld": [red / green, blue / green],
        "people": [[float(value / scale) for value in box] for box in boxes],
        "weights": [float(weight) for weight in np.ravel(weights)],
    }


def cpu():
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


for line in sys.stdin:
    began, used = time.perf_counter(), cpu()
    result = look_at(line.rstrip("\n"))
    result["cpuMs"] = 1000 * (cpu() - used)
    result["wallMs"] = 1000 * (time.perf_counter() - began)
    print(json.dumps(result), flush=True)
