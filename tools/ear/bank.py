# SPDX-License-Identifier: GPL-3.0-or-later
"""Collects the sounds that training takes are made of, from the sound fonts that Debian packages.

    python3 bank.py OUT.npz      # reads /usr/share/sounds/sf2

Every zone comes down to 16 kHz mono with its loop, and every zone that will carry a label has its own
pitch MEASURED from the sound (a font's word about its samples is off by up to 30 cents), so that the
label is what sounds. Instruments have a kind:
    reed   free reeds: harmonica, accordion, reed organ, bandoneon; labelled
    wind   other sustained sounds, labelled too: the net must learn pitch, not one instrument
    bass, chord, drum   what a band plays behind; never labelled
    other  strings plucked, struck and bowed, voices, brass, mallets: what plays in takes that hold no harp
    talk   a synthetic voice (espeak-ng) counting and explaining; never labelled: speech is no reed

HELD OUT: the harmonica of TimGM6mb, and every copy of that recording. Copies are found by correlation
of the samples, not by name: a whole layer of the same font's bandoneon is that recording again.
"""
import io
import subprocess
import sys
import wave

import numpy as np

import sf2

RATE = 16000  # Hz, what the net hears
FONTS = "/usr/share/sounds/sf2/"
HELD_OUT = ("TimGM6mb.sf2", 0, 22)

# What is no harp. Programs 5, 12, 26, 30, 41, 52, 57, 66, 74, 105 and 107 are kept out: whether their like is known too
# is measured with them (README.md).
OTHERS = (0, 2, 3, 4, 6, 8, 11, 13, 15, 24, 25, 27, 28, 29, 31, 40, 42, 44, 45, 46, 48, 49, 53, 54, 56, 59, 60, 61, 64, 67, 68, 71,
          72, 73, 75, 77, 79, 85, 104, 106, 108)

# kind, font, (bank, program); csound's sf_GMbank is left out: its reeds are TimGM6mb's at twice the rate.
WANTED = (
    [("reed", "FluidR3_GM.sf2", p) for p in ((0, 20), (0, 21), (0, 22), (0, 23), (8, 21))]
    + [("reed", "TimGM6mb.sf2", p) for p in ((0, 20), (0, 21), (0, 23))]
    + [("wind", "FluidR3_GM.sf2", (0, p)) for p in (40, 56, 64, 65, 68, 69, 70, 71, 73, 78, 111)]
    + [("wind", "TimGM6mb.sf2", (0, p)) for p in (65, 68, 69, 71)]
    + [("bass", "FluidR3_GM.sf2", (0, p)) for p in (32, 33, 34, 35)]
    + [("bass", "TimGM6mb.sf2", (0, p)) for p in (32, 33)]
    + [("chord", "FluidR3_GM.sf2", (0, p)) for p in (0, 1, 4, 16, 24, 25, 26, 27, 28)]
    + [("chord", "TimGM6mb.sf2", (0, p)) for p in (0, 16, 25, 27)]
    + [("drum", "FluidR3_GM.sf2", (128, p)) for p in (0, 8, 32, 40)]
    + [("drum", "TimGM6mb.sf2", (128, 0))]
    + [("other", font, (0, p)) for font in ("FluidR3_GM.sf2", "TimGM6mb.sf2") for p in OTHERS]
)
LONGEST = {"reed": 9.0, "wind": 4.0, "bass": 1.2, "chord": 1.2, "drum": 0.8, "talk": 6.0, "other": 3.0}  # s kept of a zone
OTHER_ZONES = 7  # at most, of a program that is no harp, spread over its keys


# voice and speed (words a minute) of who talks, and what they say: a lesson's usual words
TALKERS = [("en-us", 165), ("en-gb+f3", 150), ("en+m3", 190), ("en+f2", 130), ("de", 160), ("fr+f4", 170), ("es+m5", 180), ("it+f1", 150)]
TALK = ("one, two, three, four, and again", "now draw on hole two and let it bend down slowly", "that was a little late, once more from the top",
        "keep the air moving, the notes come by themselves", "and blow, draw, blow, good, that is the whole phrase")


def few(zones, count):
    """At most `count` of the zones, of different lowest keys, spread over them."""
    by_key = {z.key_low: z for z in zones if 30 <= z.root <= 100 and z.key_low <= 96 and z.key_high >= 40}
    keys = sorted(by_key)
    return [by_key[keys[i]] for i in sorted({round(i) for i in np.linspace(0, len(keys) - 1, count)})] if keys else []


def resample(x, rate):
    """x at `rate` Hz brought to RATE by a windowed sinc (48 zero crossings, Hann), float64."""
    ratio = rate / RATE
    cut = min(1.0, 1.0 / ratio) * 0.97
    half = int(np.ceil(24 / cut))
    count = int(len(x) / ratio)
    padded = np.concatenate([np.zeros(half), x, np.zeros(half + 2)])
    out = np.empty(count)
    for at in range(0, count, 8192):
        place = np.arange(at, min(at + 8192, count)) * ratio
        first = np.floor(place).astype(int) - half + 1
        tap = first[:, None] + np.arange(2 * half)
        away = place[:, None] - tap
        kernel = cut * np.sinc(cut * away) * np.cos(np.pi / 2 * np.clip(away / half, -1, 1)) ** 2
        out[at:at + len(place)] = (padded[tap + half] * kernel).sum(1)
    return out


def measured_pitch(x, nominal):
    """MIDI pitch of the steady sound x (RATE), looked for within 1.5 semitones of `nominal`; None when unclear.

    Normalised correlation at the first to the eighth period; the longest clear lag is the most exact.
    """
    x = x - x.mean()
    period = RATE / (440 * 2 ** ((nominal - 69) / 12))
    best, spread = period, period * (2 ** (1.5 / 12) - 1)
    clear = None
    for k in (1, 2, 4, 8):
        low, high = max(2, int(k * best - spread) - 1), int(k * best + spread) + 2
        if high + 200 > len(x) or high - low < 3:
            break
        span = len(x) - high - 1
        lags = np.arange(low, high + 1)
        power = np.concatenate([[0], np.cumsum(x * x)])
        value = np.array([2 * np.dot(x[:span], x[g:g + span]) / (power[span] + power[g + span] - power[g] + 1e-12) for g in lags])
        at = int(np.argmax(value[1:-1])) + 1
        if value[at] < 0.8:
            break
        a, b, c = value[at - 1:at + 2]
        best = (lags[at] + 0.5 * (a - c) / (a - 2 * b + c + 1e-12)) / k
        spread = max(1.5, spread / 4)
        clear = k
    return None if clear is None else 69 + 12 * np.log2(RATE / best / 440)


def same_recording(a, b):
    """True when b holds a's sound: the best normalised cross-correlation of a's middle in b is above 0.9."""
    piece = a[len(a) // 4:len(a) // 4 + min(len(a) // 2, 1200)]
    if len(piece) < 24 or len(b) < len(piece) + 8:
        return False
    size = 1 << int(np.ceil(np.log2(len(b) + len(piece))))
    cross = np.fft.irfft(np.fft.rfft(b, size) * np.conj(np.fft.rfft(piece, size)), size)[:len(b) - len(piece)]
    power = np.concatenate([[0], np.cumsum(b * b)])
    norm = np.sqrt((power[len(piece):-1] - power[:-len(piece) - 1]) * (piece @ piece)) + 1e-9
    return bool(np.max(cross[:len(norm)] / norm[:len(cross)]) > 0.9)


def prepared(zone, kind):
    """The zone at RATE: (samples, loop start, loop length, pitch) or None when its pitch cannot be told."""
    x, start, end = zone.data, zone.loop_start, zone.loop_end
    if not end or end > len(x) or end / zone.rate > LONGEST[kind]:
        x, start, end = x[:int(LONGEST[kind] * zone.rate)], 0, 0
        if kind in ("reed", "wind") and len(x) < 3.5 * zone.rate:
            return None
    else:  # the loop again and again behind it: room for interpolation and for measuring
        want = max(int(0.004 * zone.rate) + 64, int(0.25 * zone.rate) - (end - start))
        loop = x[start:end]
        x = np.concatenate([x[:end], np.tile(loop, want // len(loop) + 1)[:want]])
    scale = RATE / zone.rate
    y = resample(x.astype(np.float64), zone.rate)
    nominal = zone.root
    pitch = nominal
    if kind in ("reed", "wind"):
        steady = y[int(start * scale):] if end else y[len(y) // 3:]
        pitch = measured_pitch(steady[:RATE], nominal)
        if pitch is None:
            return None
    if end:  # keep only what interpolation needs behind the loop
        y = y[:int(end * scale) + 64]
    return y, start * scale, (end - start) * scale, pitch


class Players:
    """Who can play: the zone table of a bank file, and random invented reeds and voices behind it (takes.py makes their
    sound).

    Picklable and small, so that every process that writes phrases has its own.
    """
    INVENTED = 64  # reed makers at a time
    SINGERS = 24  # who sing and hum, behind them
    ROOTS = np.arange(46, 104, 4)  # MIDI roots of their samples

    def __init__(self, path):
        file = np.load(path)
        self.zones = file["zones"]
        self.kinds = [str(k) for k in file["kinds"]]
        self.names = [str(n) for n in file["names"]]
        self.by_player = [np.flatnonzero(self.zones[:, 11] == i) for i in range(len(self.kinds))]
        self.invented_pitch = self.invented()[1]

    def invented(self):
        """(frequency in Hz, MIDI pitch) of the invented reeds' samples: whole periods in a loop of 0.25 s."""
        hz = np.round(440 * 2 ** ((self.ROOTS - 69) / 12) / 4) * 4
        return hz, 69 + 12 * np.log2(hz / 440)

    def pick(self, rng, kind="reed"):
        """A player of a kind at random; for reeds the invented ones, the recorded ones and other winds in turn."""
        if kind == "reed":
            draw = rng.random()
            if draw < 0.5:
                return -1 - int(rng.integers(0, self.INVENTED))
            kind = "reed" if draw < 0.88 else "wind"
            if draw < 0.64:
                return self.names.index("FluidR3_GM.sf2:0:22")
        if kind == "singer":
            return -1 - self.INVENTED - int(rng.integers(0, self.SINGERS))
        return int(rng.choice([i for i, k in enumerate(self.kinds) if k == kind]))

    def is_reed(self, player):
        """Whether what this player blows or draws is a free reed."""
        return self.kinds[player] == "reed" if player >= 0 else player >= -self.INVENTED

    def zone(self, player, key, rng):
        """Row of the zone that `player` uses for the MIDI number `key`."""
        if player < 0:
            nearest = int(np.argmin(np.abs(self.invented_pitch - key)))
            return len(self.zones) + (-1 - player) * len(self.ROOTS) + nearest
        rows = self.by_player[player]
        away = np.maximum(np.maximum(self.zones[rows, 5] - round(key), round(key) - self.zones[rows, 6]), 0)
        return int(rng.choice(rows[away == away.min()]))


def collect():
    fonts = {name: sf2.Font(FONTS + name) for name in ("FluidR3_GM.sf2", "TimGM6mb.sf2")}
    forbidden = [z.data for z in fonts[HELD_OUT[0]].zones(*HELD_OUT[1:])]
    flat, rows, instruments, at = [], [], [], 0
    for kind, font, (bank, program) in WANTED:
        seen, kept = set(), []
        zones = fonts[font].zones(bank, program)
        for zone in few(zones, OTHER_ZONES) if kind == "other" else zones:
            mark = (len(zone.data), zone.loop_start, zone.loop_end, round(zone.root), float(np.abs(zone.data[:64]).sum()))
            if mark in seen or (kind == "drum" and not 35 <= zone.key_low <= 59):
                continue
            seen.add(mark)
            if kind in ("reed", "wind") and zone.root > 104:
                continue
            if kind != "drum" and any(same_recording(f, zone.data) for f in forbidden):
                continue
            made = prepared(zone, kind)
            if made is None or np.abs(made[0]).max() < 1e-3:
                continue
            y, loop_start, loop_length, pitch = made
            y = y / np.abs(y).max() * 0.98
            flat.append(np.round(y * 32767).astype(np.int16))
            kept.append((abs(pitch - zone.root), len(rows)))
            rows.append((at, len(y), loop_start, loop_length, pitch, zone.key_low, zone.key_high,
                         zone.attack, zone.decay, zone.sustain, zone.release, len(instruments)))
            at += len(y)
        if kept:
            name = f"{font}:{bank}:{program}"
            instruments.append((name, kind))
            off = max(k[0] for k in kept)
            print(f"{name:24s} {kind:6s} {len(kept):3d} zones, own pitch off by up to {100 * off:.0f} cents")
    for voice, speed in TALKERS:
        for words in TALK:
            raw = subprocess.run(["espeak-ng", "-v", voice, "-s", str(speed), "--stdout", words], check=True, capture_output=True).stdout
            with wave.open(io.BytesIO(raw)) as file:
                rate, x = file.getframerate(), np.frombuffer(file.readframes(1 << 24), "<i2")
            y = resample(x.astype(np.float64)[:int(LONGEST["talk"] * rate)], rate)
            flat.append(np.round(y / np.abs(y).max() * 32000).astype(np.int16))
            rows.append((at, len(y), 0, 0, 60, 0, 127, 0.001, 1.0, 0.0, 0.1, len(instruments)))
            at += len(y)
    instruments.append(("espeak-ng", "talk"))
    return np.concatenate(flat), np.array(rows), instruments


if __name__ == "__main__":
    data, zones, players = collect()
    np.savez_compressed(sys.argv[1], data=data, zones=zones, names=[p[0] for p in players], kinds=[p[1] for p in players])
    print(f"{len(zones)} zones, {len(data) / RATE:.0f} s, {2 * len(data) / 2 ** 20:.1f} MiB before packing")
