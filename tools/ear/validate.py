# SPDX-License-Identifier: GPL-3.0-or-later
"""Scores a weights file on takes that were not made here, by a decoder that is as plain as can be.

    python3 validate.py WEIGHTS FOLDER [--every N]

FOLDER holds 16 kHz WAV files with a table beside each (bench/hear/write_takes makes them):
onset, offset (s), pitch at start, pitch at end (MIDI, comma between the notes of a chord), joined, tab word.
File names are INSTRUMENT_CONDITION_SEED. A note is a peak of an onset bin; it is right when a true note
that is not joined starts within 50 ms at a pitch within 0.6 semitone (mir_eval's matching, greedy).
This measures the net, not the ear: the ear's decoder knows the harp. Median onset error in ms tells whether
the peaks sit where the attacks were planted.
"""
import argparse
import collections
import glob
import os
import wave

import numpy as np
import torch

from frontend import BIN_LOW, BINS, HOP, LOOKAHEAD, RATE, STRIKE_LOW, STRIKES, Features
from net import load


def truth(path):
    """[(onset s, offset s, [pitch at start], joined)]"""
    out = []
    for line in open(path):
        if line.strip() and not line.startswith(("#", "onset")):
            part = line.rstrip("\n").split("\t")
            out.append((float(part[0]), float(part[1]), [float(p) for p in part[2].split(",")], part[4] == "1",
                        [float(p) for p in part[3].split(",")]))
    return out


def struck(note):
    """Pitches of the reeds that start: the first column names only the top one of a chord."""
    return note[4][:-1] + note[2] if len(note[4]) > 1 and len(note[2]) == 1 else note[2]


def hear(net, features, path):
    with wave.open(path) as file:
        assert file.getframerate() == RATE and file.getnchannels() == 1, path
        x = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(np.float32) / 32768
    x = torch.tensor(np.concatenate([x, np.zeros(HOP * (LOOKAHEAD + 1), np.float32)]))
    with torch.no_grad():
        return torch.sigmoid(net(features(x[None])))[0, LOOKAHEAD:].numpy()


def strikes(p, threshold):
    """Peaks [(time s, MIDI)] of the onset bins: neighbours (1 semitone, 3 frames) give way to the highest."""
    a = p[:, BINS:BINS + STRIKES]
    pad = np.pad(a, ((3, 3), (1, 1)))
    around = np.max([pad[3 + i:3 + i + len(a), 1 + j:1 + j + STRIKES] for i in range(-3, 4) for j in (-1, 0, 1)], 0)
    t, s = np.nonzero((a >= threshold) & (a == around))
    sal = p[:, :BINS]
    found = []
    for i, j in zip(t, s):
        bins = int((STRIKE_LOW + j - BIN_LOW) * 2) + np.arange(-1, 3)  # pitch from the salience a little later
        bins = bins[(bins >= 0) & (bins < BINS)]
        w = sal[i + 2:i + 7, bins].sum(0) + 1e-9
        found.append((i * HOP / RATE, (BIN_LOW + bins / 2) @ w / w.sum()))
    return found


def match(want, got):
    """Greedy by time: pairs (want, got) within 50 ms and 0.6 semitone."""
    used, pairs = set(), []
    for i, (t, m) in enumerate(want):
        best = None
        for j, (u, n) in enumerate(got):
            if j not in used and abs(u - t) <= 0.05 and abs(n - m) <= 0.6 and (best is None or abs(u - t) < abs(got[best][0] - t)):
                best = j
        if best is not None:
            used.add(best)
            pairs.append((i, best))
    return pairs


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("weights")
    arguments.add_argument("folder")
    arguments.add_argument("--every", type=int, default=1, help="only every Nth take of a condition")
    arguments.add_argument("--threshold", type=float, default=0.5)
    a = arguments.parse_args()
    net, features = load(a.weights), Features("cpu")
    groups = collections.defaultdict(list)
    for path in sorted(glob.glob(a.folder + "/*.wav")):
        groups[os.path.basename(path).rsplit("_", 1)[0]].append(path)
    sums = collections.defaultdict(lambda: np.zeros(6))
    late = collections.defaultdict(list)
    for name, paths in groups.items():
        held = "held out" if name.startswith("tim-harmonica") else "fluid"
        for path in paths[::a.every]:
            p = hear(net, features, path)
            notes = truth(path[:-4] + ".tsv")
            want = [(n[0], m) for n in notes if not n[3] for m in struck(n)]
            got = strikes(p, a.threshold)
            pairs = match(want, got)
            sounding = np.zeros(len(p), bool)
            right = np.zeros(len(p), bool)
            top = BIN_LOW + np.argmax(p[:, :BINS], 1) / 2
            for n in notes:
                i, j = int(n[0] * 100) + 1, int(n[1] * 100)
                sounding[i:j] = True
                low = [min(x, y) - 0.6 for x, y in zip(n[2], n[4])]
                high = [max(x, y) + 0.6 for x, y in zip(n[2], n[4])]
                right[i:j] |= np.any([(top[i:j] >= b) & (top[i:j] <= c) for b, c in zip(low, high)], 0)
            voiced = p[:, BINS + STRIKES] > 0.5
            row = [len(want), len(got), len(pairs), sounding.sum(), (right & sounding).sum(), (voiced == sounding).mean() * sounding.sum()]
            for key in (f"{held} {name.split('_')[1]}", f"instrument {name.split('_')[0]}"):
                sums[key] += row
                late[key] += [1000 * (got[j][0] - want[i][0]) for i, j in pairs]
    print(f"{a.weights}, threshold {a.threshold}")
    print("group                          notes    P     R     F1   pitch right  voice right  onset median (abs) ms")
    for key in sorted(sums):
        want, got, both, frames, right, voice = sums[key]
        precision, recall = both / max(got, 1), both / max(want, 1)
        d = np.array(late[key] or [0])
        print(f"{key:30s} {want:6.0f} {precision:5.3f} {recall:5.3f} {2 * both / max(want + got, 1):6.3f}   {right / max(frames, 1):6.3f}"
              f"       {voice / max(frames, 1):6.3f}       {np.median(d):5.1f} ({np.median(np.abs(d)):.1f})")


if __name__ == "__main__":
    main()
