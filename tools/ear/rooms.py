# SPDX-License-Identifier: GPL-3.0-or-later
"""What happens to a take between the reeds and the file: hands, room, band, noise, microphone, coder, level.

Each take draws its own conditions; all are applied to the whole batch at once in the frequency domain.
None of them moves an onset (filters are zero-phase, rooms start with the direct sound), so labels hold.
"""
import math

import torch

RATE = 16000


def _rms(x):
    return x.pow(2).mean(-1, keepdim=True).sqrt() + 1e-9


def _coloured(shape, slope, device):
    """Noise whose power falls by `slope` [n, 1] (0 white, 1 pink, 2 brown) per frequency."""
    x = torch.fft.rfft(torch.randn(shape, device=device))
    f = torch.fft.rfftfreq(shape[-1], 1 / RATE).to(device).clamp_min(20)
    x = torch.fft.irfft(x * f ** (-slope / 2), shape[-1])
    return x / _rms(x)


class Rooms:
    def __init__(self, device, generator=None):
        self.device = device

    def _rand(self, n, low=0.0, high=1.0):
        return low + (high - low) * torch.rand(n, 1, device=self.device)

    def _room(self, x, share):
        """Exponentially decaying noise, RT60 0.12 to 0.9 s, a few early reflections, direct to reverberant -3 to 15 dB."""
        n, length = x.shape[0], int(0.8 * RATE)
        t = torch.arange(length, device=self.device) / RATE
        rt = self._rand(n, 0.12, 0.9)
        tail = torch.randn(n, length, device=self.device) * 10 ** (-3 * t / rt) * (t > 0.001 + 0.01 * self._rand(n))
        duller = torch.fft.rfft(tail)
        f = torch.fft.rfftfreq(length, 1 / RATE).to(self.device)
        tail = torch.fft.irfft(duller / (1 + (f / self._rand(n, 1500, 8000)) ** 2).sqrt(), length)
        for _ in range(5):
            at = (0.002 + 0.04 * torch.rand(n, device=self.device)) * RATE
            tail[torch.arange(n, device=self.device), at.long()] += torch.randn(n, device=self.device) * tail.abs().amax(1) * 2
        tail = tail / tail.pow(2).sum(1, keepdim=True).sqrt() * 10 ** (-self._rand(n, -3, 15) / 20)
        size = x.shape[1] + length
        size += size % 2
        wet = torch.fft.irfft(torch.fft.rfft(x, size) * torch.fft.rfft(tail, size), size)[:, :x.shape[1]]
        return x + wet * (self._rand(n) < share)

    def _tone(self, x, spread, share):
        """A random smooth equaliser: tilt and three bumps, up to `spread` dB."""
        n = x.shape[0]
        size = x.shape[1]
        f = torch.fft.rfftfreq(size, 1 / RATE).to(self.device).clamp_min(30)
        octave = torch.log2(f / 1000)
        db = self._rand(n, -0.4, 0.4) * spread * octave / 2
        for _ in range(3):
            db = db + self._rand(n, -1, 1) * spread * torch.exp(-((octave - self._rand(n, -3, 3)) / self._rand(n, 0.3, 1.5)) ** 2)
        db = db * (self._rand(n) < share)
        return torch.fft.irfft(torch.fft.rfft(x) * 10 ** (db / 20), size)

    def _phone(self, x, share):
        """A band that ends: high pass 80 to 450 Hz, low pass 3 to 7.5 kHz, slopes of 12 to 60 dB an octave."""
        n, size = x.shape
        f = torch.fft.rfftfreq(size, 1 / RATE).to(self.device).clamp_min(1)
        low, high = self._rand(n, 80, 450), self._rand(n, 3000, 7500)
        a, b = self._rand(n, 2, 10), self._rand(n, 2, 10)
        shape = 1 / (1 + (low / f) ** (2 * a)).sqrt() / (1 + (f / high) ** (2 * b)).sqrt()
        shape = torch.where(self._rand(n) < share, shape, torch.ones_like(shape))
        return torch.fft.irfft(torch.fft.rfft(x) * shape, size)

    def _coder(self, x, share):
        """What a lossy coder leaves: bins far under their neighbourhood are gone, the rest is rounded in level."""
        window = torch.hann_window(1024, device=self.device).sqrt()
        s = torch.stft(x, 1024, 512, window=window, return_complex=True)
        level = 20 * torch.log10(s.abs() + 1e-7)
        around = torch.nn.functional.avg_pool1d(s.abs().pow(2).transpose(1, 2), 31, 1, 15).transpose(1, 2)
        around = 10 * torch.log10(around + 1e-12)
        mask = level > around - self._rand(len(x), 6, 24)[:, :, None]
        step = self._rand(len(x), 1, 4)[:, :, None]
        rounded = torch.round(level / step) * step
        coded = s * 10 ** ((rounded - level) / 20) * mask
        y = torch.istft(coded, 1024, 512, window=window, length=x.shape[1])
        return torch.where(self._rand(len(x)) < share, y, x)

    def _noise(self, n, size):
        """Hiss, rumble, hum of the mains: one row a take at RMS 1."""
        kind = self._rand(n)
        x = _coloured((n, size), self._rand(n, 0, 2), self.device)
        t = torch.arange(size, device=self.device) / RATE
        mains = torch.where(self._rand(n) < 0.5, 50.0, 60.0)
        hum = sum(torch.sin(2 * math.pi * mains * h * t) / h for h in (1, 2, 3, 5))
        x = x + (kind > 0.6) * (kind < 0.75) * 2 * hum
        return x / _rms(x)

    def _clicks(self, click, size):
        """A metronome, peak 1: a damped tone, a beep of 10 to 80 ms, a wooden knock of three partials, or a burst of noise; the
        first of a bar often higher and louder. `click` is [n, 2]: time between clicks (0: none), the first, in s."""
        n = len(click)
        t = torch.arange(size, device=self.device) / RATE
        every, first = click[:, :1].float(), click[:, 1:].float()
        beat = torch.floor((t - first) / every.clamp_min(0.05))
        since = (t - first) - beat * every.clamp_min(0.05)
        bar = torch.floor(self._rand(n, 1, 5))
        accent = (torch.remainder(beat, bar) == 0) * (bar > 1)
        hz = self._rand(n, 400, 3500) * (1 + accent * self._rand(n, 0, 1))
        damped = torch.exp(-since / self._rand(n, 0.003, 0.03))
        long, edge = self._rand(n, 0.01, 0.08), self._rand(n, 0.0005, 0.004)
        held = ((since / edge).clamp(0, 1) * ((long - since) / edge).clamp(0, 1))
        tone = torch.sin(2 * math.pi * hz * since)
        wood = sum(torch.sin(2 * math.pi * hz * self._rand(n, 0.4, 2.5) * since) * torch.exp(-since / self._rand(n, 0.002, 0.02)) for _ in range(3))
        noise = _coloured((n, size), self._rand(n, -1, 2), self.device) * torch.where(self._rand(n) < 0.5, damped, held)
        kind = self._rand(n)
        x = torch.where(kind < 0.3, tone * damped, torch.where(kind < 0.55, tone * held, torch.where(kind < 0.8, wood, noise)))
        x = x * (1 + accent * self._rand(n, 0, 1)) * (every > 0)
        return x / x.abs().amax(1, keepdim=True).clamp_min(1e-6)

    def hear(self, sound, click):
        """[2, n, samples] (phrase, band) and the clicks' times [n, 2] -> [n, samples], peak within 0 dBFS."""
        harp, band = sound[0], sound[1]
        n, size = harp.shape
        t = torch.arange(size, device=self.device) / RATE
        harp = self._tone(harp, 8.0, 0.8)
        loud = _rms(harp)
        silent = loud < 1e-6
        harp = self._room(harp, 0.45) / torch.where(silent, torch.ones_like(loud), loud)
        band = self._tone(band, 5.0, 0.5)
        level = _rms(band)
        band = self._room(band, 0.3) / torch.where(level < 1e-6, torch.ones_like(level), level)
        clicks = self._clicks(click, size)
        clicks = self._room(clicks, 0.4)
        harp = harp + clicks * harp.abs().amax(1, keepdim=True).clamp_min(0.5) * 10 ** (self._rand(n, -26, 2) / 20)
        x = harp + band * 10 ** (-self._rand(n, -3, 13) / 20)
        noise = torch.where(self._rand(n) < 0.35, self._rand(n, 45, 75), self._rand(n, 14, 50))
        x = x + self._noise(n, size) * 10 ** (-noise / 20)
        shake = 1 + 0.3 * torch.sin(2 * math.pi * self._rand(n, 0.1, 0.5) * t + 6.3 * self._rand(n)) * (self._rand(n) < 0.2)
        x = x * shake
        x = x / x.abs().amax(1, keepdim=True)
        drive = torch.where(self._rand(n) < 0.12, 10 ** (self._rand(n, 0, 14) / 20), torch.ones(n, 1, device=self.device))
        x = (x * drive).clamp(-1, 1)
        x = self._phone(x, 0.3)
        x = self._coder(x, 0.3)
        x = x / x.abs().amax(1, keepdim=True).clamp_min(1e-6)
        return x * 10 ** (-40 * self._rand(n) ** 1.5 / 20)
