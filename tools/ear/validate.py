# SPDX-License-Identifier: GPL-3.0-or-later
"""Scores a weights file on takes that were not made here, by a decoder that is as plain as can be.

    python3 validate.py WEIGHTS FOLDER [--every N]

FOLDER holds 16 kHz WAV files with a table beside each (bench/hear/write_takes makes them):
onset, offset (s), pitch at start, pitch at end (MIDI, comma between the notes of a chord), joined, tab word.
File names are INSTRUMENT_CONDITION_SEED. A note is a peak of an onset bin; it is right when a true note
that is not joined starts within 50 ms at a pitch within 0.6 semitone (mir_eval's matching, greedy).
Peaks inside a shake (three or more in one note) are left out. This measures the net, not the ear: the ear's decoder knows the harp. Median onset error in ms tells whether
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


def outside_shakes(got, pairs, notes):
    """got without what lies inside a note that has three or more peaks of its own: the tables do not name shakes."""
    paired, drop = {j for _, j in pairs}, set()
    for onset, offset, *_ in notes:
        inside = [j for j, (t, _) in enumerate(got) if j not in paired and onset + 0.05 < t < offset + 0.02]
        if len(inside) >= 3:
            drop.update(inside)
    return len(got) - len(drop)


def frame_scores(p, notes):
    """(frames that sound, those whose strongest bin is a true pitch, frames with voicing right scaled to the first)."""
    sounding, right = np.zeros(len(p), bool), np.zeros(len(p), bool)
    top = BIN_LOW + np.argmax(p[:, :BINS], 1) / 2
    for onset, offset, first, _, last in notes:
        i, j = int(onset * 100) + 1, int(offset * 100)
        sounding[i:j] = True
        low, high = min(first + last) - 0.6, max(first + last) + 0.6
        near = [np.abs(top[i:j] - m) <= 0.6 for m in first + last]
        right[i:j] |= (top[i:j] >= low) & (top[i:j] <= high) if len(last) == 1 else np.any(near, 0)
    voiced = p[:, BINS + STRIKES] > 0.5
    return sounding.sum(), (right & sounding).sum(), (voiced == sounding).mean() * sounding.sum()


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("weights")
    arguments.add_argument("folder")
    arguments.add_argument("--every", type=int, default=1, help="only every Nth take of a condition")
    arguments.add_argument("--thresholds", default="0.5,0.7,0.85", help="the one with the best F1 is shown")
    a = arguments.parse_args()
    net, features = load(a.weights), Features("cpu")
    groups = collections.defaultdict(list)
    for path in sorted(glob.glob(a.folder + "/*.wav")):
        groups[os.path.basename(path).rsplit("_", 1)[0]].append(path)
    thresholds = [float(t) for t in a.thresholds.split(",")]
    sums = collections.defaultdict(lambda: np.zeros((len(thresholds), 6)))
    late = collections.defaultdict(list)
    for name, paths in groups.items():
        held = "held out" if name.startswith("tim-harmonica") else "fluid"
        keys = (f"{held} {name.split('_')[1]}", f"instrument {name.split('_')[0]}", "all")
        for path in paths[::a.every]:
            p, notes = hear(net, features, path), truth(path[:-4] + ".tsv")
            want = [(n[0], m) for n in notes if not n[3] for m in struck(n)]
            frames = frame_scores(p, notes)
            for i, threshold in enumerate(thresholds):
                got = strikes(p, threshold)
                pairs = match(want, got)
                for key in keys:
                    sums[key][i] += [len(want), outside_shakes(got, pairs, notes), len(pairs), *frames]
                    late[key, i] += [1000 * (got[k][0] - want[j][0]) for j, k in pairs]
    print(a.weights)
    print("group                           notes     P     R    F1  (at)   pitch right  voice right  onset median (abs) ms")
    for key in sorted(sums):
        f1 = 2 * sums[key][:, 2] / np.maximum(sums[key][:, :2].sum(1), 1)
        i = int(np.argmax(f1))
        want, got, both, count, right, voice = sums[key][i]
        d = np.array(late[key, i] or [0])
        print(f"{key:30s} {want:6.0f} {both / max(got, 1):5.3f} {both / max(want, 1):5.3f} {f1[i]:5.3f} ({thresholds[i]:.2f})  {right / max(count, 1):5.3f}"
              f"        {voice / max(count, 1):5.3f}        {np.median(d):5.1f} ({np.median(np.abs(d)):.1f})")


if __name__ == "__main__":
    main()
