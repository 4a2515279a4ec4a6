# SPDX-License-Identifier: GPL-3.0-or-later
"""Random phrases on random ten-hole harps, as flat lists of voices that takes.py renders.

A take is a walk over holes as a player's breath goes: neighbouring holes are likely, a breath holds for
a few notes, a hole may be struck again with hardly a gap. On the walk hang the trade's gestures: bends
(steady, pushed down, let go), scoops, falls, dips, vibrato, shakes, slides without attack, octaves,
double stops and chords. Some takes have a band behind; some have nothing but a band or nothing at all; in
some a stranger plays: strings, voices, brass, whose pitches are not asked for, only whether they are reeds.
Many takes run to a click.

A voice is one reed (or one band note) from its start to its stop, with a control curve every 10 ms
(pitch in MIDI, gain in dB). Its `mark` says what the net shall answer:
    2  it sounds, and it starts with an attack       1  it sounds, without an attack of its own (joined)
    3  it sounds; whether it starts anew is a matter of taste (inside a shake): onsets are not scored there
    0  no reed of the phrase: leakage of a neighbour, or the band
The shape of the harp is the one of engine/harp (standard major layout). How often what happens is ours:
a spread wider than any player's.
"""
import numpy as np

RATE = 16000  # Hz
HOP = 160  # samples between control points (10 ms)
BLOW = np.array([0, 4, 7, 12, 16, 19, 24, 28, 31, 36])  # semitones above 1 blow
DRAW = np.array([2, 7, 11, 14, 17, 21, 23, 26, 29, 33])
HOLDS = set(range(40, 45)) | set(range(48, 80)) | {85}  # programs whose notes do not die by themselves
NAMES = ("take", "start", "length", "zone", "curve", "attack", "release", "skip", "breath", "mark")


def deepest(hole, draw):
    """Semitones that this reed can be bent down (0 when it cannot): to one above the hole's lower reed."""
    gap = DRAW[hole] - BLOW[hole]
    return max(0, (gap if draw else -gap) - 1)


class Harp:
    """A harp, its tuning and the instrument whose samples speak for its reeds."""

    def __init__(self, rng, bank):
        low = rng.random()
        self.key = int(rng.integers(55, 67)) if low < 0.6 else int(rng.integers(48, 68))
        shift = 12 * np.log2(rng.uniform(434, 446) / 440)
        worn = 0.05 if rng.random() < 0.75 else 0.1  # semitones; an octave of two such reeds beats
        self.offset = shift + np.clip(rng.normal(0, worn, (2, 10)), -2 * worn, 2 * worn)
        self.level = rng.normal(0, 1.5, (2, 10))  # dB, some reeds speak louder
        self.bank = bank
        self.player = bank.pick(rng)
        self.reed = bank.is_reed(self.player)
        self.stray = rng.random() < 0.25  # reads zones of other registers: more timbres

    def pitch(self, hole, draw):
        return self.key + (DRAW if draw else BLOW)[hole] + self.offset[int(draw), hole]

    def zone(self, rng, pitch):
        key = pitch + (rng.uniform(-7, 7) if self.stray else 0)
        return self.bank.zone(self.player, key, rng)


class Voices:
    """Grows the flat lists."""

    def __init__(self):
        self.rows, self.curves, self.at = [], [], 0

    def add(self, take, start, length, zone, pitch, gain, attack, release, skip, breath, mark):
        """start, length in s; pitch (MIDI) and gain (dB) hold one value every 10 ms from the start."""
        count = len(pitch)
        self.rows.append((take, int(start * RATE), max(int(length * RATE), 80), zone, self.at, attack, release, skip, breath, mark))
        self.curves.append(np.stack([pitch, gain], 1).astype(np.float32))
        self.at += count


def ramp(t, at, over):
    """0 before `at`, 1 after `at + over`, a smooth step between (s)."""
    u = np.clip((t - at) / max(over, 1e-3), 0, 1)
    return u * u * (3 - 2 * u)


def _bend(rng, t, length, deep):
    """Depth of the bend in semitones along t: one of the ways a bend is played."""
    depth = rng.uniform(0.4, deep + 0.3) if rng.random() < 0.5 else float(rng.integers(1, max(2, deep + 1)))
    if rng.random() < 0.12:  # the blue notes, between two half steps
        depth = 0.5 + float(rng.integers(0, max(1, deep)))
    quick = min(rng.choice([0.02, 0.04, 0.08, 0.15, 0.3]), 0.6 * length)
    way = rng.random()
    if way < 0.4:  # struck bent, held
        return np.full_like(t, depth)
    if way < 0.55:  # pushed down
        return depth * ramp(t, rng.uniform(0.1, 0.7) * length, quick)
    if way < 0.7:  # let go
        return depth * (1 - ramp(t, rng.uniform(0.1, 0.7) * length, quick))
    if way < 0.8:  # down and back
        return depth * (ramp(t, 0.2 * length, quick) - ramp(t, rng.uniform(0.5, 0.8) * length, quick))
    if way < 0.9:  # in steps
        second = rng.uniform(0, deep)
        return depth + (second - depth) * ramp(t, rng.uniform(0.3, 0.7) * length, quick)
    return depth * t / max(length, 0.05)  # glides all the way


def _gesture(rng, t, length, deep):
    """(pitch change in semitones, gain in dB) along t for an unbent note's gesture."""
    pitch, gain = np.zeros_like(t), np.zeros_like(t)
    way = rng.random()
    if way < 0.2:  # scoop
        deep = max(deep, 0.6)
        pitch -= rng.uniform(0.4, deep + 0.2) * (1 - ramp(t, rng.uniform(0, 0.05), min(rng.uniform(0.05, 0.18), 0.7 * length)))
    elif way < 0.35:  # fall
        over = min(rng.uniform(0.06, 0.3), 0.7 * length)
        pitch -= rng.uniform(0.5, max(deep, 1) + 0.5) * ramp(t, length - over, over)
        gain -= rng.uniform(0, 15) * ramp(t, length - over, over)
    elif way < 0.5:  # dip
        over = min(rng.uniform(0.03, 0.08), 0.3 * length)
        at = rng.uniform(0, max(0.02, length - 2.5 * over))
        pitch -= rng.uniform(0.4, max(deep, 0.6) + 0.2) * (ramp(t, at, over) - ramp(t, at + over * rng.uniform(1, 1.5), over))
    elif way < 0.75:  # vibrato: more loudness than pitch
        wave = np.sin(2 * np.pi * (rng.uniform(3.5, 7.5) * t + rng.random())) * ramp(t, rng.uniform(0, 0.3), 0.15)
        pitch += rng.uniform(-0.4, 0.1) * 0.5 * (1 + wave)
        gain += rng.uniform(0, 5) * wave
    elif way < 0.85:  # hands open and close
        gain += rng.uniform(2, 9) * np.sin(2 * np.pi * (rng.uniform(1, 6) * t + rng.random()))
    elif way < 0.92:  # the tongue flutters, or the throat trembles
        gain += rng.uniform(1, 8) * np.sin(2 * np.pi * (rng.uniform(6, 18) * t + rng.random()))
    else:  # swell, or dying away
        gain += rng.uniform(-12, 8) * t / max(length, 0.05)
    return pitch, gain


def _durations(rng, seconds):
    """(start, step) of the notes of a phrase, s: in a pulse, swung or even, or free; and the pulse: (beat, first) or None."""
    starts, steps, pulse = [], [], None
    at = rng.uniform(0.05, 0.5) if rng.random() < 0.88 else rng.uniform(0.5, 0.6 * seconds)
    if rng.random() < 0.6:
        beat = 60 / rng.uniform(60, 170)
        pulse = (beat, at)
        cells = {"even": (0.5, 0.5), "swing": (2 / 3, 1 / 3), "third": (1 / 3, 1 / 3, 1 / 3), "one": (1.0,), "two": (2.0,),
                 "fast": (0.25,) * 4, "dot": (0.75, 0.25)}
        liked = [list(cells.values())[i] for i in rng.integers(0, 7, 3)]
        while at < seconds:
            for part in liked[int(rng.integers(0, 3))]:
                starts.append(max(0.01, at + rng.normal(0, 0.008)))
                steps.append(part * beat)
                at += part * beat
    else:
        while at < seconds:
            step = np.exp(rng.uniform(np.log(0.07), np.log(rng.choice([0.3, 0.8, 2.0]))))
            starts.append(at)
            steps.append(step)
            at += step
    return starts, steps, pulse


def _unsteady(rng, count, size):
    """A slow random course of `size` around 0: no breath and no lip holds still."""
    points = np.arange(count // 6 + 3)
    return np.interp(np.arange(count) / 6, points, rng.normal(0, size, len(points)))


def click(rng, pulse):
    """(time between clicks, first click) in s; on the pulse of the phrase mostly, since one plays to it. (0, 0): none."""
    if rng.random() > 0.3:
        return 0.0, 0.0
    if pulse is None or rng.random() < 0.25:
        return rng.uniform(0.3, 1.1), rng.uniform(0, 1)
    return pulse[0] * rng.choice([0.5, 1, 1, 1, 2]), pulse[1] + rng.normal(0, 0.01)


def phrase(rng, voices, take, harp, seconds):
    """Adds one phrase and returns its pulse."""
    hole, draw = int(rng.integers(0, 9)), bool(rng.random() < 0.6)
    style = rng.random()
    many = 0.9 if style < 0.18 else (0.35 if style < 0.5 else 0.0)  # share of notes with several holes
    apart_db = rng.choice([2.0, 2.0, 5.0])  # spread of the level between the reeds of a chord
    apart = rng.choice([0.006, 0.012, 0.03])  # s between their beginnings, at most
    busy = rng.choice([0.15, 0.4, 0.7])  # share of notes with a bend or gesture
    again_likes = rng.choice([0.08, 0.2, 0.5])
    touch = rng.choice(["legato", "gaps", "short", "mixed"])
    leak = rng.random() < 0.15
    twin = rng.uniform(0.01, 0.15) if rng.random() < 0.14 else 0.0  # semitones to a second reed that beats
    slow = rng.choice([0.0, 0.01, 0.03]) * rng.uniform(0.5, 1.5)
    release = np.exp(rng.uniform(np.log(0.05), np.log(0.6)))
    breath = 10 ** (rng.uniform(-60, -26) / 20) if rng.random() < 0.5 else 0.0
    uneven = rng.random() < 0.35
    skip = rng.uniform(0, 0.03) if rng.random() < 0.3 else 0.0
    swing_db = rng.uniform(0, 4)
    trembles = (rng.uniform(0.3, 2), rng.uniform(0.005, 0.06)) if rng.random() < 0.4 else None  # dB, semitones
    starts, steps, pulse = _durations(rng, seconds)
    before = None  # hole and breath
    joined = None  # (voice pitch at its end) when the next note slides out of this one
    for n, (start, step) in enumerate(zip(starts, steps)):
        if n and rng.random() > again_likes:
            stride = rng.choice([0, 1, 1, 1, 1, 2, 2, 3, 4]) * (1 if rng.random() < 0.5 else -1)
            moved = min(9, max(0, hole + int(stride)))
            turned = bool(rng.random() < 0.4)
            if moved == hole and not turned:
                turned = True
            if joined is not None:  # a slide stays in the breath, next door
                turned, moved = False, min(9, max(0, hole + (1 if rng.random() < 0.5 else -1)))
            hole, draw = moved, draw != turned
        elif joined is not None:
            joined = None
        if joined is None and rng.random() < 0.07:  # a rest
            continue
        end = starts[n + 1] if n + 1 < len(starts) else start + step
        step = max(0.05, end - start)
        again = (hole, draw) == before
        before = (hole, draw)
        holes = [hole]
        if rng.random() < many:
            other = 3 if again and rng.random() < 0.4 else rng.choice([1, 1, 1, 2, 3, 3, 3, 4, 4])
            if hole + other <= 9:
                holes.append(hole + int(other))
                if other == 1 and rng.random() < 0.35 and hole + 2 <= 9:
                    holes.append(hole + 2)
        way = touch if touch != "mixed" else rng.choice(["legato", "gaps", "short"])
        gap = {"legato": 0.0, "gaps": rng.uniform(0.01, 0.07), "short": step * rng.uniform(0.1, 0.5)}[way]
        slides = bool(rng.random() < 0.08) and n + 1 < len(starts)
        length = max(0.05, step - (0 if slides else min(gap, 0.6 * step)))
        t = np.arange(int(length * 100) + 3) * 0.01
        gain = rng.normal(0, swing_db) + np.zeros_like(t)
        shift = np.zeros_like(t)
        if trembles:
            gain = gain + _unsteady(rng, len(t), trembles[0])
        deep = deepest(hole, draw)
        if uneven and rng.random() < 0.7:  # an unsteady start: the reed sags or jumps once it has begun
            step_db = rng.uniform(-9, 9)
            gain = gain - step_db * (1 - ramp(t, rng.uniform(0.02, 0.13), rng.uniform(0.005, 0.06)))
            if rng.random() < 0.5:
                sag = rng.uniform(0.02, 0.12)
                gain = gain - rng.uniform(0, 9) * (ramp(t, sag, 0.02) - ramp(t, sag + 0.02, 0.03))
        after = hole
        mark = 2 if joined is None else 1
        if rng.random() < busy:
            if deep and len(holes) == 1 and rng.random() < 0.6:
                shift = -_bend(rng, t, length, deep)
                if rng.random() < 0.6:  # a bent reed speaks softer, and swells when it is let go
                    gain = gain + rng.uniform(-1, 8) * shift / deep
            elif not deep and len(holes) == 1 and rng.random() < 0.08:  # an overbend: a semitone above the higher reed
                shift = shift + max(BLOW[hole], DRAW[hole]) + 1 - (DRAW if draw else BLOW)[hole]
            elif length > 0.35 and len(holes) == 1 and hole < 9 and rng.random() < 0.4:
                _shake(rng, voices, take, harp, hole, draw, start, length, gain, release, breath, mark)
                joined = None
                continue
            else:
                shift, more = _gesture(rng, t, length, deep)
                gain = gain + more
        if joined is None and length > 0.2 and len(holes) == 1 and not shift.any() and rng.random() < 0.12:
            to = min(9, max(0, hole + (1 if rng.random() < 0.5 else -1)))  # slides next door in one voice, phase and all
            target = harp.pitch(to, draw) - harp.pitch(hole, draw) - (rng.uniform(0, deepest(to, draw) + 0.1) if rng.random() < 0.3 else 0)
            shift = target * ramp(t, rng.uniform(0.25, 0.75) * length, rng.choice([0.01, 0.03, 0.06, 0.1]))
            after = to if rng.random() < 0.8 else hole
        if joined is not None and rng.random() < 0.6:  # the pitch travels; otherwise the new reed fades in
            first = harp.pitch(hole, draw) + shift[0]
            shift = shift + (joined - first) * (1 - ramp(t, 0.0, rng.uniform(0.005, 0.05)))
        fade_in = rng.uniform(0.015, 0.05) if mark == 1 else slow * (1 + max(0, 70 - harp.pitch(hole, draw)) / 12)
        prompt = int(rng.choice(holes))
        waver = _unsteady(rng, len(t), trembles[1]) if trembles else 0.0
        for h in holes:
            pitch = harp.pitch(h, draw) + shift + waver
            zone = harp.zone(rng, pitch[0])
            inside = -1.0 if mark == 1 else skip
            late = rng.uniform(0, apart) if h != prompt else 0.0
            level = gain + harp.level[int(draw), h] + (np.clip(rng.normal(0, apart_db), -9, 9) if h != hole else 0)
            voices.add(take, start + late, length, zone, pitch, level, fade_in, release if not slides else 0.08, inside, breath, mark)
            if twin:
                voices.add(take, start + late, length, zone, pitch + twin, level - rng.uniform(0, 6), fade_in, release, inside, 0.0, mark)
        if leak and rng.random() < 0.5 and hole < 9 and len(holes) == 1:
            next_door = harp.pitch(hole + 1, draw) + 0 * t
            voices.add(take, start, length, harp.zone(rng, next_door[0]), next_door, gain - rng.uniform(22, 36), fade_in, release, skip, 0.0, 0)
        joined = float(harp.pitch(hole, draw) + shift[-1]) if slides else None
        hole = after
    return pulse


def _shake(rng, voices, take, harp, hole, draw, start, length, gain, release, breath, mark):
    """Two neighbours in turn, 4 to 9 Hz each way: hard cuts, or one reed that is bent over by the wheel."""
    half = 0.5 / rng.uniform(4, 9)
    low, high = harp.pitch(hole, draw), harp.pitch(hole + 1, draw)
    t = np.arange(int(length * 100) + 3) * 0.01
    if rng.random() < 0.35:
        up = ((t / half).astype(int) % 2).astype(float)
        voices.add(take, start, length, harp.zone(rng, low), low + (high - low) * up, gain, 0.0, release, 0.0, breath, 3)
        return
    n = max(2, int(length / half))
    over, ring, rise = rng.uniform(0, 0.25) * half, rng.uniform(0.02, 0.15), rng.choice([0.0, 0.005, 0.01, 0.02])
    for i in range(n):
        count = int((length / n + over) * 100) + 3
        pitch = np.full(count, high if i % 2 else low)
        voices.add(take, start + i * length / n, length / n + over, harp.zone(rng, pitch[0]), pitch, np.full(count, gain[0]),
                   rise if i else 0.0, ring, 0.0 if i == 0 or rng.random() < 0.5 else -1.0, breath, 3 if i else mark)


def stranger(rng, voices, take, seconds, bank):
    """Somebody plays or sings what is no harp: a line, chords or a picked pattern. Returns its pulse."""
    draw = rng.random()
    player = bank.pick(rng, "singer" if draw < 0.2 else ("wind" if draw < 0.3 else "other"))
    sings = draw < 0.2
    holds = sings or draw < 0.3 or int(bank.names[player].split(":")[2]) in HOLDS
    home = rng.uniform(45, 64) if sings else rng.uniform(46, 82)
    scale = [np.array(s) for s in ((0, 2, 4, 5, 7, 9, 11), (0, 2, 3, 5, 7, 8, 10), (0, 3, 5, 6, 7, 10), tuple(range(12)))][int(rng.integers(0, 4))]
    shift = 12 * np.log2(rng.uniform(434, 446) / 440)
    way = rng.choice(["line", "chords", "picked"], p=[0.85, 0.1, 0.05] if holds else [0.5, 0.25, 0.25])
    wide, rate = (rng.uniform(0.1, 0.6), rng.uniform(4.5, 7)) if holds and rng.random() < 0.6 else (0.0, 5.0)
    glides = rng.uniform(0.03, 0.15) if sings and rng.random() < 0.8 else (rng.uniform(0.02, 0.08) if rng.random() < 0.15 else 0.0)
    release = np.exp(rng.uniform(np.log(0.05), np.log(0.8)))
    overlap = rng.uniform(0, 1.5) if way == "picked" or (not holds and rng.random() < 0.4) else 0.0
    breath = 10 ** (rng.uniform(-50, -26) / 20) if rng.random() < 0.3 else 0.0
    tremble = rng.uniform(0, 0.06)
    starts, steps, pulse = _durations(rng, seconds)
    degree, last = int(rng.integers(0, len(scale))), None
    for start, step in zip(starts, steps):
        if rng.random() < 0.07:
            last = None
            continue
        degree = int(np.clip(degree + rng.choice([-3, -2, -1, -1, 0, 1, 1, 2, 3]), -len(scale), 2 * len(scale)))
        chord = [degree] if way == "line" else ([degree, degree + 2, degree + 4] if way == "chords" else [degree + int(rng.integers(0, 5))])
        length = step * rng.uniform(0.6, 1.0) + overlap
        t = np.arange(int(length * 100) + 3) * 0.01
        for i, d in enumerate(chord):
            key = home + 12 * (d // len(scale)) + scale[d % len(scale)]
            key = key - 12 * round((key - home) / 12) if sings else key
            pitch = np.round(key) + shift + _unsteady(rng, len(t), tremble) + wide * np.sin(2 * np.pi * rate * t) * ramp(t, 0.1, 0.2)
            if glides:
                begin = last if last is not None and rng.random() < 0.7 else key + rng.uniform(-2, 0.5)
                pitch = pitch + (begin - key) * (1 - ramp(t, 0.0, glides))
            gain = rng.normal(0, 2) + _unsteady(rng, len(t), rng.uniform(0, 1.5))
            voices.add(take, start + i * rng.uniform(0, 0.02), length, bank.zone(player, key, rng), pitch, gain, 0.0, release, 0.0, breath, 0)
            last = key
    return pulse


def talk(rng, voices, take, seconds, bank):
    """Somebody speaks: before, after or over the phrase."""
    player, at = bank.pick(rng, "talk"), rng.uniform(-1, 2)
    while at < seconds:
        zone = bank.zone(player, 60, rng)
        length = bank.zones[zone, 1] / RATE
        if at >= 0:
            count = int(length * 100) + 3
            voices.add(take, at, length, zone, np.full(count, 60 + rng.uniform(-3, 3)), np.zeros(count), 0.0, 0.05, 0.0, 0.0, 0)
        at += length + rng.uniform(0.1, 2)


def band(rng, voices, take, harp, seconds, bank):
    """A rhythm section behind: drums, bass and one or two that comp, in a key that a player would choose."""
    beat = 60 / rng.uniform(60, 150)
    swing = rng.choice([0.5, 2 / 3])
    root = harp.key % 12 + {0: 0, 1: 7, 2: 2}[int(rng.integers(0, 3))] if rng.random() < 0.75 else int(rng.integers(0, 12))
    at = -rng.uniform(0, 4) * beat
    bass, comp, drums = (bank.pick(rng, k) for k in ("bass", "chord", "drum"))
    more = bank.pick(rng, "chord") if rng.random() < 0.4 else None
    parts = {k: rng.random() < p for k, p in (("drum", 0.85), ("bass", 0.85), ("comp", 0.8))}
    bass_db, comp_db = rng.normal(0, 3), rng.normal(-6, 3)
    busy = rng.choice([0.25, 0.5, 0.8])
    shift = 12 * np.log2(rng.uniform(438, 442) / 440)
    n = 0

    def hit(player, start, length, key, db, release):
        if start < 0 or start > seconds:
            return
        count = int(length * 100) + 3
        voices.add(take, start, length, bank.zone(player, key, rng), np.full(count, key + shift * (player != drums)),
                   np.full(count, db + rng.normal(0, 1.5)), 0.0, release, 0.0, 0.0, 0)

    while at < seconds:
        place = root + [0, 0, 5, 0, 7, 5][(n // 4) % 6]
        minor = rng.random() < 0.1
        notes = [0, 3 if minor else 4, 7, 10]
        off = at + swing * beat
        if parts["bass"]:
            hit(bass, at, beat * 0.9, 36 + (place + notes[n % 4]) % 12 - 4, bass_db, 0.2)
            if rng.random() < 0.4:
                hit(bass, off, beat * 0.4, 36 + place % 12 - 4, bass_db - 3, 0.2)
        if parts["comp"]:
            for player in (comp, more):
                if player is None:
                    continue
                for when in (at, off):
                    if rng.random() < busy:
                        lowest = 46 + (place - 46) % 12 + (12 if rng.random() < 0.4 else 0)
                        held = beat * rng.uniform(0.2, 1.2)
                        for above in notes[int(rng.integers(0, 2)):int(rng.integers(2, 5))]:
                            hit(player, when + rng.uniform(0, 0.01), held, lowest + above, comp_db, 0.25)
        if parts["drum"]:
            hit(drums, at, 0.6, 36 if n % 2 == 0 else 38, -2, 0.3)
            hit(drums, at, 0.3, 51 if busy > 0.4 else 42, -10, 0.3)
            hit(drums, off, 0.3, 51 if busy > 0.4 else 42, -13, 0.3)
        at += beat
        n += 1


def batch(seed, takes, seconds, bank):
    """Everything the renderer needs for `takes` takes: dict of arrays, one entry a voice, and `curves` [n, 2].

    `behind` is True for voices of the band, whose level is set apart from the phrase's. By take: `reed`, whether free reeds
    play in it; `pitched`, whether the net's answers about pitch count; `click`, (time between, first) in s.
    """
    rng = np.random.default_rng(seed)
    voices, first_of_band = Voices(), []
    spans = []
    reed, pitched, clicks = np.zeros(takes), np.ones(takes, bool), np.zeros((takes, 2))
    for take in range(takes):
        harp, pulse = Harp(rng, bank), None
        kind = rng.random()
        if kind > 0.22:  # 4 % hold nothing of all this
            pulse = phrase(rng, voices, take, harp, seconds - (rng.uniform(0, 3) if rng.random() < 0.2 else 0))
            reed[take] = harp.reed
        elif kind > 0.04:
            pulse = stranger(rng, voices, take, seconds, bank)
            pitched[take] = False
        clicks[take] = click(rng, pulse)
        here = len(voices.rows)
        if kind < 0.02 or rng.random() < 0.4:
            band(rng, voices, take, harp, seconds, bank)
        elif kind < 0.035 or rng.random() < 0.03:
            talk(rng, voices, take, seconds, bank)
        spans.append((here, len(voices.rows)))
    table = np.array(voices.rows, np.float64)
    behind = np.zeros(len(table), bool)
    for low, high in spans:
        behind[low:high] = True
    out = {name: table[:, i] for i, name in enumerate(NAMES)}
    out["behind"] = behind
    out["reed"], out["pitched"], out["click"] = reed, pitched, clicks
    out["curves"] = np.concatenate(voices.curves)
    return out
