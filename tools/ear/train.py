# SPDX-License-Identifier: GPL-3.0-or-later
"""Trains the net on takes that are made while it learns; none is heard twice.

    python3 train.py BANK.npz OUT_FOLDER --seconds 500 --takes 192 --nets 120x192x3

Several nets may train side by side on the same takes. The last part runs with the weights rounded as they
are stored. Every minute, and at the end, OUT_FOLDER gets NAME.weights and NAME.pt (to go on with --go-on).
Phrases are written by other processes, sound is made on the device.
"""
import argparse
import math
import multiprocessing
import os
import time

import numpy as np
import torch
import torch.nn.functional as F

import bank as banks
import phrases
from frontend import ATTACK, BINS, LOOKAHEAD, OUTPUTS, REED, STRIKES, VOICE, Features, labels
from net import Ear, Rounding, rounded, save
from rooms import Rooms
from takes import HOP, RATE, Sounds

# What a missed one costs against a false one, and what each part weighs.
POSITIVE = {"bins": 2.0, "strikes": 4.0, "voice": 1.0, "attack": 3.0, "reed": 1.0}
REED_PART = 1.0


def write_phrases(path, takes, seconds, seeds, queue):
    players = banks.Players(path)
    while True:
        queue.put(phrases.batch(seeds.get(), takes, seconds, players))


def loss_of(logits, target, weight, positive):
    cost = F.binary_cross_entropy_with_logits(logits, target, weight * (1 + (positive - 1) * target), reduction="none")
    per_frame = cost.shape[0] * cost.shape[1]
    parts = [cost[..., :BINS].sum(), 2 * cost[..., BINS:BINS + STRIKES].sum(), cost[..., VOICE].sum(),
             cost[..., ATTACK].sum(), REED_PART * cost[..., REED].sum()]
    return [p / per_frame for p in parts]


def scores(logits, target, weight):
    """Frame F1 of the salience bins and onset F1 by peaks (any pitch right within 2 frames), rough and quick."""
    want = target[..., :BINS] > 0.5
    got = logits[..., :BINS] > 0
    f1 = 2 * (want & got).sum() / (want.sum() + got.sum()).clamp_min(1)
    p = logits[..., BINS:BINS + STRIKES]
    top = F.max_pool1d(p.transpose(1, 2).reshape(-1, 1, p.shape[1]), 7, 1, 3).reshape(p.shape[0], p.shape[2], -1).transpose(1, 2)
    w = weight[..., BINS:BINS + STRIKES]
    peak = (p == top) & (p > 0) & (w > 0)
    truth = target[..., BINS:BINS + STRIKES] > 0.9
    wide = lambda m: F.max_pool1d(m.float().transpose(1, 2), 7, 1, 3).transpose(1, 2) > 0.5
    precision = (peak & wide(truth)).sum() / peak.sum().clamp_min(1)
    recall = (truth & wide(peak)).sum() / truth.sum().clamp_min(1)
    return f1.item(), (2 * precision * recall / (precision + recall + 1e-9)).item()


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("bank")
    arguments.add_argument("out")
    arguments.add_argument("--seconds", type=float, default=60, help="wall clock to train, s")
    arguments.add_argument("--takes", type=int, default=8, help="takes a step")
    arguments.add_argument("--chunk", type=int, default=64, help="takes rendered at once")
    arguments.add_argument("--length", type=float, default=6.0, help="length of a take, s")
    arguments.add_argument("--nets", default="120x192x3", help="FIRSTxHIDDENxCONTEXT[xSECOND], comma between")
    arguments.add_argument("--rate", type=float, default=2e-3, help="highest learning rate")
    arguments.add_argument("--workers", type=int, default=max(1, (os.cpu_count() or 2) - 2))
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--go-on", default="", help="folder with NAME.pt of an earlier run")
    arguments.add_argument("--round-from", type=float, default=0.85, help="share of the time after which weights are rounded")
    arguments.add_argument("--head", action="store_true", help="learn only what tells reeds from others")
    a = arguments.parse_args()
    began = time.time()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(a.seed)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    queue, seeds = multiprocessing.Queue(maxsize=2 * a.workers), multiprocessing.Queue()
    next_seed = a.seed * 10 ** 7
    for _ in range(4 * a.workers):
        seeds.put(next_seed)
        next_seed += 1
    makers = [multiprocessing.Process(target=write_phrases, args=(a.bank, a.chunk, a.length, seeds, queue), daemon=True) for _ in range(a.workers)]
    for m in makers:
        m.start()
    players = banks.Players(a.bank)
    sounds = Sounds(players, np.load(a.bank)["data"], device)
    rooms, features = Rooms(device), Features(device)
    samples, frames = int(a.length * RATE), int(a.length * RATE) // HOP

    def fresh():
        nonlocal next_seed
        v = queue.get()
        seeds.put(next_seed)
        next_seed += 1
        v = {k: torch.as_tensor(x, device=device) for k, x in v.items()}
        with torch.no_grad():
            x = features(rooms.hear(sounds.render(v, a.chunk, samples), v["click"]))
            target, weight = labels(v, a.chunk, frames, device)
        return x[:, :].contiguous(), target, weight

    def several(n):
        parts = [fresh() for _ in range(n)]
        return [torch.cat(p) for p in zip(*parts)]

    nets = {}
    for form in a.nets.split(","):
        size = [int(n) for n in form.split("x")]
        net = Ear(*size).to(device)
        if a.go_on:
            missing = net.load_state_dict(torch.load(f"{a.go_on}/{form}.pt", map_location=device), strict=False)
            print("begins anew:", missing.missing_keys, missing.unexpected_keys)
        if a.head:  # the pitches stay as they are; those weights are rounded once and for all
            with torch.no_grad():
                for name, m in net.matrices().items():
                    if not name.startswith("reed"):
                        q, scale = rounded(m)
                        m.copy_(q * scale)
            for name, p in net.named_parameters():
                p.requires_grad_(name.startswith("reed"))
        nets[form] = net
    makers_of = {f: torch.optim.AdamW([p for p in n.parameters() if p.requires_grad], lr=a.rate, weight_decay=0.01, betas=(0.9, 0.98)) for f, n in nets.items()}
    positive = torch.ones(OUTPUTS, device=device)
    positive[:BINS], positive[BINS:BINS + STRIKES] = POSITIVE["bins"], POSITIVE["strikes"]
    positive[VOICE], positive[ATTACK], positive[REED] = POSITIVE["voice"], POSITIVE["attack"], POSITIVE["reed"]
    check = several(max(1, min(4, a.takes // a.chunk)))
    print(f"{device}: ready after {time.time() - began:.0f} s", flush=True)
    began = saved = told = time.time()
    step, running = 0, {f: 0.0 for f in nets}

    def ahead(x, target, weight):
        return x, target[:, :-LOOKAHEAD], weight[:, :-LOOKAHEAD]

    def write():
        for form, net in nets.items():
            torch.save(net.state_dict(), f"{a.out}/{form}.pt")
            save(net, f"{a.out}/{form}.weights")

    while True:
        share = (time.time() - began) / a.seconds
        if share >= 1:
            break
        if step % 100 == 99:
            sounds.invent()
        x, target, weight = ahead(*several(max(1, a.takes // a.chunk)))
        rate = a.rate * min(1, step / 100) * (0.5 + 0.5 * math.cos(math.pi * min(share, 1))) + 1e-5
        for form, net in nets.items():
            maker = makers_of[form]
            for group in maker.param_groups:
                group["lr"] = rate

            def learn():
                logits = net(x)[:, LOOKAHEAD:]
                total = sum(loss_of(logits, target, weight, positive))
                maker.zero_grad(set_to_none=True)
                total.backward()
                return total.detach()

            if share > a.round_from:
                with Rounding(net):
                    total = learn()
            else:
                total = learn()
            torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            maker.step()
            running[form] = 0.98 * running[form] + 0.02 * total if step else total
        step += 1
        if time.time() - told > 15:
            told = time.time()
            cx, ct, cw = ahead(*check)
            for form, net in nets.items():
                with torch.no_grad(), Rounding(net):
                    logits = net(cx)[:, LOOKAHEAD:]
                    parts = loss_of(logits, ct, cw, positive)
                    f1, strike = scores(logits, ct, cw)
                    w = cw[..., REED]
                    sure = [(w * (t == k) * ((logits[..., REED] > 0) == k)).sum() / (w * (t == k)).sum() for t in [ct[..., REED]] for k in (1, 0)]
                print(f"{told - began:4.0f} s step {step} {form}: loss {float(running[form]):.3f}, check {float(sum(parts)):.3f} "
                      f"({' '.join(f'{float(p):.3f}' for p in parts)}), bins F1 {f1:.3f}, onsets F1 {strike:.3f}, "
                      f"reeds {sure[0]:.3f} others {sure[1]:.3f}, waiting {queue.qsize()}", flush=True)
        if time.time() - saved > 60:
            saved = time.time()
            write()
    write()
    print(f"{step} steps, {step * x.shape[0] * a.length / 3600:.0f} hours heard", flush=True)
    for m in makers:
        m.terminate()


if __name__ == "__main__":
    main()
