# SPDX-License-Identifier: GPL-3.0-or-later
"""A SoundFont 2 reader: the zones of one preset, with their samples, loops and tunings.

A SoundFont is a RIFF file. `smpl` holds every sample as 16-bit mono; `pdta` holds nine tables that chain
preset -> zones -> instrument -> zones -> sample. A zone is a list of (generator, amount) pairs; a zone
without a last link (generator 41 in a preset, 53 in an instrument) is the global zone of its owner.
Only what a pitch listener needs is read: ranges, sample, loop, tuning, attack and release.
Modulators, filters and effects are left out.

Source: SoundFont Technical Specification 2.04 (sections 7 and 8), remembered, checked on Debian's fonts.
"""
import struct
from dataclasses import dataclass

import numpy as np

# Generator numbers (section 8.1.2)
_LOOP_COARSE_START, _START, _END, _LOOP_START, _LOOP_END = 45, 0, 1, 2, 3
_START_COARSE, _END_COARSE, _LOOP_COARSE_END = 4, 12, 50
_ATTACK, _DECAY, _SUSTAIN, _RELEASE = 34, 36, 37, 38
_INSTRUMENT, _KEYS, _VELOCITIES, _COARSE, _FINE, _SAMPLE, _MODES, _ROOT = 41, 43, 44, 51, 52, 53, 54, 58
_RANGES = (_KEYS, _VELOCITIES)


@dataclass
class Zone:
    """One sample as a preset plays it. Loop points are samples from `data`'s start; loop_end 0 means no loop."""
    font: str
    preset: str
    data: np.ndarray  # float32, -1..1
    rate: int  # Hz
    loop_start: int
    loop_end: int
    root: float  # MIDI number at which `data` sounds at its own rate, by the font's own word
    key_low: int
    key_high: int
    attack: float  # s
    decay: float  # s
    sustain: float  # dB below the peak
    release: float  # s


def _table(chunk, form):
    size = struct.calcsize(form)
    return [struct.unpack_from(form, chunk, at) for at in range(0, len(chunk) - size + 1, size)]


class Font:
    def __init__(self, path):
        self.name = path.rsplit("/", 1)[-1]
        with open(path, "rb") as file:
            raw = file.read()
        self._tables = {}
        self._walk(raw, 12, len(raw))
        self._smpl = np.frombuffer(self._tables[b"smpl"], "<i2")
        self._phdr = _table(self._tables[b"phdr"], "<20sHHHIII")
        self._inst = _table(self._tables[b"inst"], "<20sH")
        self._shdr = _table(self._tables[b"shdr"], "<20sIIIIIBbHH")
        self._bags = {k: _table(self._tables[k], "<HH") for k in (b"pbag", b"ibag")}
        self._gens = {k: _table(self._tables[k], "<HH") for k in (b"pgen", b"igen")}

    def _walk(self, raw, at, end):
        while at + 8 <= end:
            name, size = raw[at:at + 4], struct.unpack_from("<I", raw, at + 4)[0]
            if name == b"LIST":
                self._walk(raw, at + 12, at + 8 + size)
            else:
                self._tables[name] = raw[at + 8:at + 8 + size]
            at += 8 + size + (size & 1)

    def _zones(self, bag, gen, first, last, link):
        """Generator dictionaries of the zones first..last-1, the global zone folded in."""
        shared, out = {}, []
        for z in range(first, last):
            low, high = self._bags[bag][z][0], self._bags[bag][z + 1][0]
            own = {}
            for number, amount in self._gens[gen][low:high]:
                own[number] = (amount & 255, amount >> 8) if number in _RANGES else amount
            if link in own:
                out.append({**shared, **own})
            elif z == first:
                shared = own
        return out

    def presets(self):
        return [(p[2], p[1], p[0].split(b"\0")[0].decode("latin1")) for p in self._phdr[:-1]]

    def zones(self, bank, program):
        """Every zone of a preset as a list of Zone; empty when the font has no such preset."""
        found = []
        for at, head in enumerate(self._phdr[:-1]):
            if (head[2], head[1]) != (bank, program):
                continue
            name = head[0].split(b"\0")[0].decode("latin1")
            for outer in self._zones(b"pbag", b"pgen", head[3], self._phdr[at + 1][3], _INSTRUMENT):
                inst = outer[_INSTRUMENT]
                for inner in self._zones(b"ibag", b"igen", self._inst[inst][1], self._inst[inst + 1][1], _SAMPLE):
                    zone = self._zone(name, outer, inner)
                    if zone is not None:
                        found.append(zone)
        return found

    def _zone(self, preset, outer, inner):
        def signed(number, default=0):
            value = inner.get(number, default) + outer.get(number, 0) * (number not in (_ROOT, _MODES, _SAMPLE))
            return value - 65536 if value > 32767 else value

        def both(table, number):
            value = table.get(number, 0)
            return value - 65536 if value > 32767 else value

        _, start, end, loop_start, loop_end, rate, key, correction, _, kind = self._shdr[inner[_SAMPLE]]
        if kind & 0x8000 or end <= start:  # a ROM sample, or nothing
            return None
        start += signed(_START) + 32768 * signed(_START_COARSE)
        end += signed(_END) + 32768 * signed(_END_COARSE)
        loop_start += signed(_LOOP_START) + 32768 * signed(_LOOP_COARSE_START)
        loop_end += signed(_LOOP_END) + 32768 * signed(_LOOP_COARSE_END)
        keys_a, keys_b = outer.get(_KEYS, (0, 127)), inner.get(_KEYS, (0, 127))
        low, high = max(keys_a[0], keys_b[0]), min(keys_a[1], keys_b[1])
        if low > high:
            return None
        root = inner.get(_ROOT, 65535)
        root = key if root > 127 else root
        tuning = correction / 100 + sum(both(t, _COARSE) + both(t, _FINE) / 100 for t in (inner, outer))
        looped = inner.get(_MODES, 0) & 1 and loop_end > loop_start

        def seconds(number):
            cents = both(inner, number) if number in inner else -12000
            return 2.0 ** ((cents + both(outer, number)) / 1200)

        return Zone(self.name, preset, self._smpl[start:end].astype(np.float32) / 32768, rate,
                    loop_start - start if looped else 0, loop_end - start if looped else 0, root - tuning, low, high,
                    seconds(_ATTACK), seconds(_DECAY), min(both(inner, _SUSTAIN) / 10, 100.0), seconds(_RELEASE))
