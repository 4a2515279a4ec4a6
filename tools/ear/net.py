# SPDX-License-Identifier: GPL-3.0-or-later
"""The net: a dense layer over a few frames, one GRU, a dense layer out, and a small head for reeds. And its file.

enc reads frames t-context+1 .. t (oldest first), the GRU walks, out and the head speak about frame t - LOOKAHEAD.
Stored as int8 rows with one float32 scale each, biases as float32 (form: README.md).
"""
import struct

import numpy as np
import torch
from torch import nn

from frontend import FEATURES, REED

MAGIC = b"LWEAR1\n\0"


class Ear(nn.Module):
    def __init__(self, first=128, hidden=160, context=1, second=0):
        super().__init__()
        self.context = context
        self.enc = nn.Linear(FEATURES * context, first)
        self.enc2 = nn.Linear(first, second) if second else None
        self.gru = nn.GRU(second or first, hidden, batch_first=True)
        self.out = nn.Linear(hidden, REED)
        self.reed = nn.Linear(hidden, 24)
        self.reed_out = nn.Linear(24, 1)
        nn.init.constant_(self.out.bias, -4.0)
        nn.init.constant_(self.out.bias[-2:-1], 0.0)

    def forward(self, x, state=None):
        """[n, frames, 180] -> logits [n, frames, 180]. Frames before the first are taken as the first."""
        if self.context > 1:
            padded = torch.cat([x[:, :1].expand(-1, self.context - 1, -1), x], 1)
            x = torch.cat([padded[:, i:i + x.shape[1]] for i in range(self.context)], 2)
        x = torch.relu(self.enc(x))
        if self.enc2 is not None:
            x = torch.relu(self.enc2(x))
        x, _ = self.gru(x, state)
        return torch.cat([self.out(x), self.reed_out(torch.relu(self.reed(x)))], -1)

    def matrices(self):
        return {n: p for n, p in self.named_parameters() if p.dim() == 2}


def rounded(w):
    """(int8 rows, scale a row) of a matrix, the scale set by the row's largest value."""
    scale = w.abs().amax(1, keepdim=True).clamp_min(1e-8) / 127
    return torch.round(w / scale).clamp(-127, 127), scale


class Rounding:
    """Trains with the weights as they will be stored: rounded before a step, put back before the update."""

    def __init__(self, net):
        self.matrices = list(net.matrices().values())

    def __enter__(self):
        self.kept = [m.detach().clone() for m in self.matrices]
        with torch.no_grad():
            for m in self.matrices:
                q, scale = rounded(m)
                m.copy_(q * scale)

    def __exit__(self, *_):
        with torch.no_grad():
            for m, kept in zip(self.matrices, self.kept):
                m.copy_(kept)


def save(net, path):
    named = dict(net.state_dict())
    with open(path, "wb") as file:
        file.write(MAGIC)
        for name, value in named.items():
            name = name.replace("_l0", "").encode()
            value = value.detach().float().cpu()
            file.write(struct.pack("<I", len(name)) + name + struct.pack("<I", value.dim()))
            file.write(struct.pack(f"<{value.dim()}I", *value.shape))
            if value.dim() == 2:
                q, scale = rounded(value)
                file.write(struct.pack("<I", 1) + scale[:, 0].numpy().astype("<f4").tobytes() + q.numpy().astype("i1").tobytes())
            else:
                file.write(struct.pack("<I", 0) + value.numpy().astype("<f4").tobytes())


def load(path):
    """The net of a weights file, weights as stored."""
    raw = open(path, "rb").read()
    assert raw[:8] == MAGIC, f"{path}: not a weights file"
    at, named = 8, {}
    while at < len(raw):
        size, = struct.unpack_from("<I", raw, at)
        name = raw[at + 4:at + 4 + size].decode()
        at += 4 + size
        dims, = struct.unpack_from("<I", raw, at)
        shape = struct.unpack_from(f"<{dims}I", raw, at + 4)
        kind, = struct.unpack_from("<I", raw, at + 4 + 4 * dims)
        at += 8 + 4 * dims
        n = int(np.prod(shape))
        if kind == 1:
            scale = np.frombuffer(raw, "<f4", shape[0], at)
            value = np.frombuffer(raw, "i1", n, at + 4 * shape[0]).reshape(shape) * scale[:, None]
            at += 4 * shape[0] + n
        else:
            value = np.frombuffer(raw, "<f4", n, at).reshape(shape)
            at += 4 * n
        named[name.replace("gru.", "gru.") + ("_l0" if name.startswith("gru.") else "")] = torch.tensor(np.array(value), dtype=torch.float32)
    second = named["enc2.weight"].shape[0] if "enc2.weight" in named else 0
    net = Ear(named["enc.weight"].shape[0], named["gru.weight_hh_l0"].shape[1], named["enc.weight"].shape[1] // FEATURES, second)
    net.load_state_dict(named)
    return net
