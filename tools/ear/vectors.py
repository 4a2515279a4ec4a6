# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the test vectors by which the C++ ear is held to this one.

    python3 vectors.py WEIGHTS OUT_FILE

One second of sound (made here, no sample in it), what the front end makes of it and what the net says, every
fifth frame. Little endian: magic "LWVEC1\\n\\0"; u32 samples, frames written, frames between, features, outputs;
int16 samples (full scale 32768); float32 features [frames][180]; float32 logits [frames][179].
Logits are the GRU's at that step (about 8 frames earlier), the state starting at zero, with the weights as stored.
"""
import struct
import sys

import numpy as np
import torch

from frontend import FEATURES, HOP, OUTPUTS, RATE, Features
from net import load

EVERY = 5


def sound():
    """A fifth, a bend, a strike and a hiss: something in every band, and silence at the end."""
    t = np.arange(RATE) / RATE
    rng = np.random.default_rng(7)
    x = np.zeros(RATE)
    for start, end, midi, fall in ((0.05, 0.4, 62.1, 0), (0.05, 0.4, 69.0, 0), (0.42, 0.66, 74.2, 2), (0.68, 0.85, 74.2, 0), (0.7, 0.9, 96.3, 0)):
        on = (t >= start) & (t < end)
        pitch = midi - fall * np.clip((t - start) / (end - start), 0, 1)
        phase = 2 * np.pi * np.cumsum(440 * 2 ** ((pitch - 69) / 12)) / RATE
        rise = np.clip((t - start) / 0.015, 0, 1)
        for k in range(1, 9):
            x += 0.1 / k * np.sin(k * phase) * rise * on
    x += 0.003 * rng.standard_normal(RATE) * (t < 0.95)
    return np.round(np.clip(x, -1, 1) * 32767).astype("<i2")


def main():
    net, samples = load(sys.argv[1]), sound()
    with torch.no_grad():
        x = Features("cpu")(torch.tensor(samples.astype(np.float32) / 32768)[None])
        y = net(x)
    x, y = (v[0, ::EVERY].numpy().astype("<f4") for v in (x, y))
    with open(sys.argv[2], "wb") as file:
        file.write(b"LWVEC1\n\0" + struct.pack("<5I", RATE, len(x), EVERY, FEATURES, OUTPUTS))
        file.write(samples.tobytes() + x.tobytes() + y.tobytes())
    print(f"{sys.argv[2]}: {len(x)} frames")


if __name__ == "__main__":
    main()
