# SPDX-License-Identifier: GPL-3.0-or-later
"""Phrases become sound, on the graphics card: voices read samples along their pitch curves, all takes at once.

Voices are ragged: one long row holds every sample of every voice, and `index_add` puts it into its take.
The samples of the bank are kept at twice the rate and in three widths of band, so that cubic interpolation
stays clean and a sample read faster than it was made does not fold. Invented reeds are made afresh now and
then: harmonics by a random law (the second is often the strongest, facts of free reeds), a rise that is
slower for low reeds, a start a little flat.
"""
import math

import torch
import torch.nn.functional as F

RATE, HOP, OVER = 16000, 160, 2
WIDTHS = ((1.15, None), (1.5, 5200.0), (99.0, 3700.0))  # read up to this speed, keep up to this Hz


def _low_pass(cut, rate, taps, device):
    t = torch.arange(taps, device=device, dtype=torch.float64) - taps // 2
    return (2 * cut / rate * torch.sinc(2 * cut / rate * t) * torch.hann_window(taps + 2, False, device=device, dtype=torch.float64)[1:-1]).float()


class Sounds:
    """All samples on the device, and where each zone lies in them."""

    def __init__(self, players, data, device):
        self.players, self.device = players, device
        z = torch.tensor(players.zones, dtype=torch.float64, device=device)
        base = torch.as_tensor(data, device=device).float() / 32768
        spread = torch.zeros(OVER * len(base), device=device)
        spread[::OVER] = base * OVER
        self.recorded = self._widths(self._filter(spread, 7600.0))
        self.hz, pitch = players.invented()
        zones, count = len(players.ROOTS), players.INVENTED + players.SINGERS
        self.rise, self.loop = 0.35, 0.25  # s of attack and of loop in an invented sample
        self.room = int((self.rise + self.loop) * RATE * OVER) + 64
        n = zones * count
        at = OVER * len(base) + torch.arange(n, device=device, dtype=torch.float64) * self.room
        ones = torch.ones(n, device=device, dtype=torch.float64)
        kinds = torch.tensor([k in ("bass", "chord", "drum", "other") for k in players.kinds], device=device)
        self.start = torch.cat([OVER * z[:, 0], at]).long()
        self.size = torch.cat([OVER * z[:, 1], ones * self.room])
        self.loop_start = torch.cat([OVER * z[:, 2], ones * self.rise * RATE * OVER])
        self.loop_size = torch.cat([OVER * z[:, 3], ones * self.loop * RATE * OVER])
        self.pitch = torch.cat([z[:, 4], torch.tensor(pitch, device=device).repeat(count)])
        decays = kinds[z[:, 11].long()]
        self.attack = torch.cat([z[:, 7] * (z[:, 7] > 0.002), 0 * ones]).float()
        self.fall = torch.cat([100 / z[:, 8].clamp_min(0.05) * decays, 0 * ones]).float()  # dB/s
        self.floor = torch.cat([z[:, 9].clamp(0, 100), 0 * ones]).float()
        self.data = None
        self.invent()

    def _filter(self, x, cut):
        kernel = _low_pass(cut, RATE * OVER, 127, self.device)
        return F.conv1d(x[None, None], kernel[None, None], padding=63)[0, 0]

    def _widths(self, x):
        return [x if cut is None else self._filter(x, cut) for _, cut in WIDTHS]

    def invent(self):
        """New invented reeds and voices in place of the old ones."""
        count, d = self.players.INVENTED + self.players.SINGERS, self.device
        sings = (torch.arange(count, device=d) >= self.players.INVENTED)[:, None]
        rand = lambda *s: torch.rand(*s, device=d)
        t = torch.arange(self.room, device=d) / (RATE * OVER)
        hz = torch.tensor(self.hz, device=d, dtype=torch.float32)
        top = 40
        k = torch.arange(1, top + 1, device=d).float()
        tilt = 0.2 + 2.0 * rand(count, 1)
        level = -20 * tilt * torch.log10(k) + (2 + 6 * rand(count, 1)) * torch.randn(count, top, device=d)
        level[:, 0] -= 15 * rand(count) * (rand(count) < 0.5)
        level[:, 1] += 10 * rand(count) * (rand(count) < 0.6)
        level[:, 1::2] += (12 * rand(count) * (rand(count) < 0.25))[:, None]  # even ones strong: like an octave, and none
        level[:, 1::2] -= (25 * rand(count) * (rand(count) < 0.15))[:, None]  # hollow: odd ones only
        # A voice: a source that falls by 6 to 15 dB an octave (a hum by more), and four narrow resonances that stay where they are.
        hum = rand(count, 1) < 0.3
        level = torch.where(sings, -20 * torch.where(hum, 2 + 2 * rand(count, 1), 1 + 1.5 * rand(count, 1)) * torch.log10(k), level)
        vowel = torch.stack([300 + 550 * rand(count), 800 + 1500 * rand(count), 2300 + 700 * rand(count), 3200 + 800 * rand(count)], 1)
        narrow = 60 + 120 * rand(count, 4)
        out = []
        for i, f in enumerate(hz):
            own = level + 3 * torch.randn(count, top, device=d)
            for _ in range(2):  # two resonances of hands and mouth
                centre, wide = 400 * 2 ** (3.5 * rand(count, 1)), 0.3 + rand(count, 1)
                own = own + 12 * rand(count, 1) * torch.exp(-(torch.log2(k * f / centre) / wide) ** 2) * ~sings
            sung = 10 * torch.log10((1 / (1 + ((k * f)[None, None] - vowel[..., None]).div(narrow[..., None]) ** 2)).sum(1) + 3e-3)
            own = own + sung * (sings & ~hum)
            amp = 10 ** (own / 20) * (k * f < 7400)
            tau = (0.004 + 0.03 * rand(count, 1) ** 2) * (1.0 if f > 400 else (400 / f) ** 0.7)
            tau = torch.where(sings, 0.01 + 0.06 * rand(count, 1), tau)
            later = rand(count, 1) * 0.5
            flat = 0.02 * rand(count, 1) * (rand(count, 1) < 0.5)
            phase = 2 * math.pi * f * (t - flat * 0.02 * (1 - torch.exp(-t / 0.02)))  # [count, room]
            dark = 2 * math.pi * rand(count, top) * (rand(count, 1) < 0.7)
            x = torch.zeros(count, self.room, device=d)
            for h in range(top):
                if (h + 1) * f >= 7400:
                    break
                swell = 1 - torch.exp(-(t / (tau * (1 + later * h))) ** 2)
                x += amp[:, h:h + 1] * swell * torch.sin((h + 1) * phase + dark[:, h:h + 1])
            out.append(x / x.abs().amax(1, keepdim=True))
        made = torch.stack(out, 1).reshape(-1)
        self.data = torch.stack([torch.cat([r, m]) for r, m in zip(self.recorded, self._widths(made))])

    def render(self, v, takes, samples):
        """Sound of the voices v (dict of device tensors): [2, takes, samples], the phrase and the band apart."""
        zone = v["zone"].long()
        release = (v["release"] * RATE).long()
        total = torch.minimum(v["length"].long() + release, samples - v["start"].long()).clamp_min(0)
        total = torch.where(v["mark"] < 0, torch.zeros_like(total), total)
        # phase at the control points: speed is linear between them
        curves = v["curves"].double()
        first = v["curve"].long()
        owner = torch.zeros(len(curves), dtype=torch.long, device=self.device)
        owner[first[1:]] = 1
        owner = owner.cumsum(0)
        speed = OVER * 2 ** ((curves[:, 0] - self.pitch[zone][owner]) / 12)
        step = torch.zeros_like(speed)
        step[1:] = HOP * (speed[:-1] + speed[1:]) / 2
        step[first] = 0
        phase = step.cumsum(0)
        phase = phase - phase[first][owner]
        skip = torch.where(v["skip"] < 0, self.loop_start[zone], v["skip"].double() * RATE * OVER)
        phase = phase + skip[owner]
        width = (speed[first] > OVER * WIDTHS[0][0]).long() + (speed[first] > OVER * WIDTHS[1][0]).long()
        # every sample of every voice
        note = torch.repeat_interleave(torch.arange(len(zone), device=self.device), total)
        begin = total.cumsum(0) - total
        t = torch.arange(len(note), device=self.device) - begin[note]
        last = torch.cat([first[1:], first.new_tensor([len(curves)])]) - 2
        at = torch.minimum(first[note] + t // HOP, last[note])
        u = (t - (at - first[note]) * HOP).double()
        s0, s1 = speed[at], speed[at + 1]
        along = u.clamp_max(HOP)
        place = phase[at] + s0 * along + (s1 - s0) * along * along / (2 * HOP) + (u - along) * s1
        del s0, s1, along
        z = zone[note]
        loop, looped = self.loop_start[z], self.loop_size[z]
        place = torch.where((looped > 0) & (place >= loop + looped), loop + torch.remainder(place - loop, looped.clamp_min(1)), place)
        over = (place > self.size[z] - 4).float()
        place = torch.minimum(place, self.size[z] - 4).clamp_min(0)
        whole = place.floor()
        frac = (place - whole).float()
        index = self.start[z] + whole.long()
        w = width[note]
        flat, offset = self.data.reshape(-1), w * self.data.shape[1]
        base = index + offset
        b, c, e = flat[base], flat[base + 1], flat[base + 2]
        a = flat[(base - 1).clamp_min(0)]
        x = b + 0.5 * frac * (c - a + frac * (2 * a - 5 * b + 4 * c - e + frac * (3 * (b - c) + e - a)))  # Catmull-Rom
        del a, b, c, e, base, index, whole, place
        gain = v["curves"][:, 1]
        db = gain[at] + (gain[at + 1] - gain[at]) * (u / HOP).clamp_max(1).float()
        s = t.float() / RATE
        db = db - torch.minimum(self.fall[z] * s, self.floor[z])
        length = v["length"].float()
        db = db - 60 * ((t - length[note]).clamp_min(0) / release.clamp_min(1)[note].float())
        env = 10 ** (db / 20) * (1 - over)
        rise = torch.maximum(v["attack"].float(), self.attack[zone])[note].clamp_min(0.0005)
        env = env * torch.sin(0.5 * math.pi * (s / rise).clamp_max(1)) ** 2
        x = (x + v["breath"].float()[note] * torch.randn_like(x)) * env
        out = torch.zeros(2 * takes * samples, device=self.device)
        where = (v["behind"].long() * takes + v["take"].long()) * samples + v["start"].long()
        out.index_add_(0, where[note] + t, x)
        return out.reshape(2, takes, samples)
