# SPDX-License-Identifier: GPL-3.0-or-later
"""What the net sees and what it shall say: the same numbers as engine/hear computes, in PyTorch.

Features: 180 a frame, one frame every 10 ms at 16 kHz, centred on sample 160 t. 144 bands two a semitone from
a 2048-sample Hann spectrum (pitch), 36 bands one per two semitones from a 512-sample one (attacks). No level
is taken out: training draws the level at random instead.
Answers: 118 half-semitone bins of sounding fundamentals, 59 semitones of new attacks, anything blown or drawn, any attack; and
whether what plays is a free reed.
"""
import numpy as np
import torch

RATE, HOP = 16000, 160
LONG, LONG_BANDS, LONG_LOW = 2048, 144, 45.0
SHORT, SHORT_BANDS, SHORT_LOW = 512, 36, 46.0
FEATURES = LONG_BANDS + SHORT_BANDS
BINS, BIN_LOW = 118, 45.5  # salience: MIDI 45.5 + i/2
STRIKES, STRIKE_LOW = 59, 46  # onsets: MIDI 46 + i
OUTPUTS = BINS + STRIKES + 3
VOICE, ATTACK, REED = BINS + STRIKES, BINS + STRIKES + 1, BINS + STRIKES + 2
OCTAVE_WEIGHT = {"bins": 3.0, "strikes": 2.0}  # what the octave above a sounding reed counts, be it there or not: the hardest question
LOOKAHEAD = 8  # frames: the answer of step t speaks about frame t - 8


def _triangles(size, count, low, step):
    """[bins, bands]: triangles in Hz between neighbouring centres, half width at least one bin."""
    f = np.arange(size // 2 + 1) * RATE / size
    hz = lambda midi: 440 * 2 ** ((midi - 69) / 12)
    out = np.zeros((len(f), count))
    for i in range(count):
        c = low + i * step
        below = max(hz(c) - hz(c - step), RATE / size)
        above = max(hz(c + step) - hz(c), RATE / size)
        d = f - hz(c)
        out[:, i] = np.maximum(0, 1 - np.where(d < 0, -d / below, d / above))
    return out


class Features:
    def __init__(self, device):
        make = lambda a: torch.tensor(a, dtype=torch.float32, device=device)
        self.parts = []
        for size, count, low, step in ((LONG, LONG_BANDS, LONG_LOW, 0.5), (SHORT, SHORT_BANDS, SHORT_LOW, 2.0)):
            window = torch.hann_window(size, True, dtype=torch.float64, device=device)
            self.parts.append((size, (window / window.sum()).float(), make(_triangles(size, count, low, step))))

    def __call__(self, x):
        """[n, samples] -> [n, frames, 180]; samples // 160 frames; zeros before the start and after the end."""
        frames = x.shape[1] // HOP
        out = []
        for size, window, bands in self.parts:
            padded = torch.nn.functional.pad(x, (size // 2, size))
            cut = padded.unfold(1, size, HOP)[:, :frames]
            power = torch.fft.rfft(cut * window).abs().pow(2)
            out.append((10 * torch.log10(power @ bands + 1e-10) + 60) / 30)
        return torch.cat(out, 2)


def labels(v, takes, frames, device):
    """Answers for the voices v (takes.py): (target [n, frames, 180], weight [n, frames, 180])."""
    target = torch.zeros(takes, frames, OUTPUTS, device=device)
    weight = torch.ones_like(target)
    weight[..., :REED] *= v["pitched"].float()[:, None, None]
    # A take with reeds is asked about them only where they sound, any other all along.
    reed = v["reed"][:, None].float()
    weight[..., REED] = 1 - reed
    real = v["mark"] > 0
    take, start, mark, first = (v[k][real].long() for k in ("take", "start", "mark", "curve"))
    end = start + v["length"][real].long()
    from_, to = (start + HOP - 1) // HOP, torch.minimum(end // HOP, torch.full_like(end, frames - 1))
    count = (to - from_ + 1).clamp_min(0)
    if count.sum() == 0:
        return target, weight
    note = torch.repeat_interleave(torch.arange(len(take), device=device), count)
    frame = torch.arange(len(note), device=device) - (count.cumsum(0) - count)[note] + from_[note]
    since = (frame * HOP - start[note]).float() / HOP
    k = since.floor().long()
    curve = v["curves"][:, 0]
    a, b = curve[first[note] + k], curve[first[note] + k + 1]
    pitch = a + (b - a) * (since - k)
    place = (pitch - BIN_LOW) * 2
    row = (take[note] * frames + frame) * OUTPUTS
    flat = target.view(-1)
    for side in (0, 1):
        at = place.floor().long() + side
        value = 1 - (place - at).abs()
        fits = (at >= 0) & (at < BINS)
        flat.scatter_reduce_(0, (row + at)[fits], value[fits], "amax")
        above = at + 24
        weight.view(-1).index_fill_(0, (row + above)[(above >= 0) & (above < BINS)], OCTAVE_WEIGHT["bins"])
    flat[row + VOICE] = 1
    flat[row + REED] = v["reed"].float()[take[note]]
    weight.view(-1)[row + REED] = 1
    # attacks
    struck = mark >= 2
    take, start, mark, first = take[struck], start[struck], mark[struck], first[struck]
    pitch = curve[first]
    near = torch.floor(pitch + 0.5)
    second = torch.where(pitch > near, near + 1, near - 1)
    centre = torch.round(start.float() / HOP).long()
    ignore = weight.view(-1)
    above = near.long() + 12 - STRIKE_LOW
    for d in (-1, 0, 1):
        frame = centre + d
        ok = (frame >= 0) & (frame < frames) & (above >= 0) & (above < STRIKES)
        ignore.index_fill_(0, ((take * frames + frame) * OUTPUTS + BINS + above)[ok], OCTAVE_WEIGHT["strikes"])
    for d in (-3, -2, -1, 0, 1, 2, 3):
        frame = centre + d
        for bin_, kind in ((near, "hit"), (second, "side"), (None, "any")):
            at = ATTACK if bin_ is None else BINS + bin_.long() - STRIKE_LOW
            ok = (frame >= 0) & (frame < frames)
            if bin_ is not None:
                ok = ok & (bin_ >= STRIKE_LOW) & (bin_ < STRIKE_LOW + STRIKES)
            if kind == "side":
                ok = ok & ((pitch - second).abs() < 0.7)
            cell = ((take * frames + frame) * OUTPUTS + at)[ok]
            sure = (mark == 2)[ok]
            if kind == "side":
                if abs(d) <= 2:
                    ignore.index_fill_(0, cell, 0.0)
            else:
                ignore.index_fill_(0, cell[~sure], 0.0)
                if abs(d) <= 1:
                    value = torch.full_like(cell[sure], 1.0 if d == 0 else 0.5, dtype=torch.float32)
                    flat.scatter_reduce_(0, cell[sure], value, "amax")
    # A sure attack beside an unsure one still counts.
    return target, torch.where(target > 0.4, weight.clamp_min(1.0), weight)
