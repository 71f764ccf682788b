"""Trains the listener: a small transformer that hears events, their places, conditions and verdicts in talk.

    python tests/training/train_listener.py ENCODER STREAMS.jsonl --out DIR [--epochs 90] [--without NAME...]

ENCODER is a folder with a BERT-style encoder (config.json, model.safetensors, tokenizer.json); STREAMS is what
``streams.py`` makes of annotated talk. DIR gets ``listener.onnx`` (8-bit weights), ``tokenizer.json`` with the word
pieces that are kept, and ``labels.json``. Needs torch, transformers, onnx, onnxruntime; a GPU makes it minutes.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import random
import re
import time
from collections import Counter
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import torch
from listener_model import EDGES, HEADS, Listener, Names, export, loss_of
from shrink import shrink
from tokenizers import Tokenizer
from told import CONDITIONS, DETAILS, FACTS, KINDS, REASONS, SIDES, VERDICTS
from torch import nn

WINDOW, SEED = 480, 7
PLAIN_SHARE = 0.45
HIDDEN = 0.12  # share of the pieces that the listener must do without, so that it leans on the others
AVERAGE = 0.998
LEAST = 8
Encoded = dict[str, np.ndarray]


def names_of(streams: list[dict[str, Any]]) -> Names:
    """What there is to hear: every label, and the conditions that occur often enough to be learned."""
    stretches = [stretch for stream in streams for stretch in stream["stretches"]]
    counted = Counter(c for stretch in stretches for c in stretch["conditions"] if c.split("=")[0] in CONDITIONS)
    conditions = sorted(name for name, count in counted.items() if count >= LEAST)
    labels = sorted({stretch["label"] for stretch in stretches})
    return Names(labels, KINDS, SIDES, VERDICTS, conditions, REASONS, DETAILS, FACTS)


def plain(text: str) -> str:
    """The text without punctuation, letters kept in place by blanks."""
    return re.sub(r"[,.?!;:—…](?!\d)", " ", text)


def encode(stream: dict[str, Any], text: str, tokenizer: Tokenizer, names: Names) -> Encoded:
    """Word pieces and targets of a stream; ``event_of``/``mention_of`` number the stretch and mention of a piece."""
    made = tokenizer.encode(text, add_special_tokens=False)
    n, sizes = len(made.ids), names.sizes()
    out: Encoded = {"ids": np.array(made.ids, dtype=np.int64)}
    for name, sort in HEADS.items():
        if sort == "one":
            out[name] = np.full(n, -100, dtype=np.float32)
        elif sort == "any":
            told = name in ("event", "place", "aside", "detail") or (name == "fact" and stream["facts"] is not None)
            out[name] = np.full((n, sizes[name]), 0.0 if told else -1.0, dtype=np.float32)
    out["event_of"], out["mention_of"] = np.full(n, -1, dtype=np.int64), np.full(n, -1, dtype=np.int64)
    out["key"] = np.full(n, -1, dtype=np.float32)

    def inside(first: int, last: int) -> list[int]:
        return [i for i, (a, b) in enumerate(made.offsets) if a < last and first < b]

    for first, last, kind, side in stream["places"]:
        for i in inside(first, last):
            out["place"][i], out["kind"][i], out["side"][i] = 1, KINDS.index(kind), SIDES.index(side)
    for first, last, reason in stream["asides"]:
        out["aside"][inside(first, last), REASONS.index(reason)] = 1
    for first, last, fact in stream["facts"] or ():
        out["fact"][inside(first, last), FACTS.index(fact)] = 1
    for number, (first, last, key) in enumerate(stream["mentions"]):
        pieces = inside(first, last)
        out["detail"][pieces, DETAILS.index(key)] = 1
        out["mention_of"][pieces] = number
        out["key"][pieces] = DETAILS.index(key)
    for number, stretch in enumerate(stream["stretches"]):
        for i in inside(stretch["first"], stretch["last"]):
            out["event"][i, names.labels.index(stretch["label"])] = 1
            out["event_of"][i] = number
            if stretch["asks_place"]:
                out["kind"][i], out["side"][i] = KINDS.index(stretch["kind"]), SIDES.index(stretch["side"])
                out["has"][i] = [key in stretch["has"] for key in DETAILS]
            out["verdict"][i] = VERDICTS.index(stretch["verdict"])
            out["condition"][i] = [c in stretch["conditions"] for c in names.conditions]
    return out


def windows(encoded: list[tuple[Encoded, dict[str, Any]]], rng: random.Random) -> list[tuple[Encoded, dict[str, Any]]]:
    """Windows over the streams, their starts moved about from epoch to epoch."""
    made = []
    for one, stream in encoded:
        n = len(one["ids"])
        start = 0 if n <= WINDOW else -rng.randrange(WINDOW // 2)
        while start < n:
            a, b = max(0, start), min(n, start + WINDOW)
            made.append(({key: value[a:b] for key, value in one.items()}, stream))
            start += WINDOW * 2 // 3
    return made


def bunches(made: list[tuple[Encoded, dict[str, Any]]], pieces: int, rng: random.Random) -> list[list[Any]]:
    """Windows of like length together, so that little of a batch is padding; ``pieces`` bounds a batch."""
    made = sorted(made, key=lambda one: len(one[0]["ids"]) + rng.randrange(12))
    found: list[list[Any]] = [[]]
    for one in made:
        if found[-1] and (len(found[-1]) + 1) * len(one[0]["ids"]) > pieces:
            found.append([])
        found[-1].append(one)
    rng.shuffle(found)
    return found


def ties_told(stream: dict[str, Any]) -> np.ndarray:
    """Stretches by mentions: 1 where the point of the stretch rests on the mention, -1 where it is not asked."""
    told = np.zeros((len(stream["stretches"]), len(stream["mentions"])), dtype=np.float32)
    for number, stretch in enumerate(stream["stretches"]):
        told[number, stretch["details"]] = 1
        if not stretch["asks_place"]:
            told[number] = -1
    return told


def tensors(chunk: list[tuple[Encoded, dict[str, Any]]], cls: int, sep: int, device: str) -> Any:
    """A batch: ids, mask and targets, with the marks of begin and end around each window."""
    longest = max(len(one["ids"]) for one, _ in chunk) + 2
    ids = np.zeros((len(chunk), longest), dtype=np.int64)
    mask = np.zeros_like(ids)
    targets = {
        name: np.full((len(chunk), longest, *chunk[0][0][name].shape[1:]), -1.0 if sort == "any" else -100, np.float32)
        for name, sort in HEADS.items()
        if sort != "tie"
    }
    for name in ("key", "event_of", "mention_of"):
        targets[name] = np.full((len(chunk), longest), -1.0, np.float32)
    for row, (one, _) in enumerate(chunk):
        n = len(one["ids"])
        ids[row, 0], ids[row, n + 1], mask[row, : n + 2] = cls, sep, 1
        ids[row, 1 : n + 1] = one["ids"]
        for name, target in targets.items():
            target[row, 1 : n + 1] = one[name]
    sent = {name: torch.from_numpy(target).to(device) for name, target in targets.items()}
    sent["tie"] = ties_of([stream["ties"] for _, stream in chunk], sent.pop("event_of"), sent.pop("mention_of"))
    return torch.from_numpy(ids).to(device), torch.from_numpy(mask).to(device), sent


def ties_of(told: list[np.ndarray], event_of: torch.Tensor, mention_of: torch.Tensor) -> torch.Tensor:
    """For each piece of an event and each piece of a mention whether the point rests on it; -1 elsewhere."""
    padded = np.full((len(told), *(max(1, *(t.shape[axis] for t in told)) for axis in (0, 1))), -1.0, np.float32)
    for row, one in enumerate(told):
        padded[row, : one.shape[0], : one.shape[1]] = one
    table = torch.from_numpy(padded).to(event_of.device)
    batch = torch.arange(len(told), device=event_of.device)[:, None, None]
    found = table[batch, event_of.long().clamp(min=0)[:, :, None], mention_of.long().clamp(min=0)[:, None, :]]
    return torch.where((event_of >= 0)[:, :, None] & (mention_of >= 0)[:, None, :], found, -1.0)


@torch.no_grad()
def _copy(weights: list[torch.Tensor], average: list[torch.Tensor]) -> None:
    for value, mean in zip(weights, average, strict=True):
        value.copy_(mean)


def pace(done: float) -> float:
    """The learning rate as a share of the highest: up over the first tenth, then down as a cosine."""
    return done / 0.1 if done < 0.1 else 0.5 * (1 + math.cos(math.pi * min(done, 1.0)))


def train(model: Listener, encoded: list[Any], options: argparse.Namespace, ends: list[int]) -> None:
    """Trains in place; at the end the model holds the running average of its weights."""
    rng = random.Random(SEED + options.seed)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    begun = time.monotonic()
    torch.set_float32_matmul_precision("high")
    model.to(device).train()
    weights = [value for value in model.state_dict().values() if value.is_floating_point()]
    average = [value.detach().clone() for value in weights]

    def chosen() -> list[list[Any]]:
        picked = [(without if rng.random() < PLAIN_SHARE else whole, stream) for whole, without, stream in encoded]
        return bunches(windows(picked, rng), options.batch, rng)

    optimizer = torch.optim.AdamW(model.parameters(), lr=options.rate, weight_decay=0.01, fused=device == "cuda")
    done = 0.0
    for epoch in itertools.count():
        total = torch.zeros((), device=device)
        batches = chosen()
        for at, chunk in enumerate(batches):
            done = max((epoch + at / len(batches)) / options.epochs, (time.monotonic() - begun) / options.seconds)
            for group in optimizer.param_groups:
                group["lr"] = options.rate * pace(done)
            ids, mask, targets = tensors(chunk, ends[0], ends[1], device)
            hidden = torch.rand(ids.shape, device=device) < HIDDEN
            ids = torch.where(hidden & (ids != ends[0]) & (ids != ends[1]) & (mask == 1), ends[2], ids)
            out = dict(zip(HEADS, model(ids, mask), strict=True))
            loss = loss_of(out | {"nearness": model.nearness}, targets)
            optimizer.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            optimizer.step()
            torch._foreach_lerp_(average, weights, 1 - AVERAGE)
            total += loss.detach()
        print(epoch, round(float(total) / len(batches), 3), f"{time.monotonic() - begun:.0f} s", flush=True)
        if done >= 1 or epoch + 1 >= options.epochs:
            break
    _copy(weights, average)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("encoder", type=Path)
    parser.add_argument("streams", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--epochs", type=int, default=90)
    parser.add_argument("--rate", type=float, default=5e-4)
    parser.add_argument("--batch", type=int, default=9600, help="word pieces in a batch")
    parser.add_argument("--seconds", type=float, default=1e9, help="stop by then, the learning rate run down")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--fold", default="", help="I/N: leaves out every N-th stream, to measure with")
    parser.add_argument("--without", nargs="*", default=[], help="streams whose name starts so are left out")
    parser.add_argument("--pieces", type=int, default=1400, help="common word pieces kept beside those of the talk")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    from transformers import AutoModel

    torch.manual_seed(SEED + options.seed)
    streams = [json.loads(line) for line in options.streams.read_text(encoding="utf-8").splitlines()]
    names = names_of(streams)
    for stream in streams:
        stream["ties"] = ties_told(stream)
    encoder = AutoModel.from_pretrained(options.encoder, add_pooling_layer=False).float()
    tokenizer = shrink(options.encoder, options.out, [s["text"] for s in streams], encoder, options.pieces)
    taught = [s for s in streams if not left_out(s["id"], options)]
    print(len(taught), "of", len(streams), "streams,", len(names.labels), "labels,", names.conditions)
    encoded = [
        (encode(s, s["text"], tokenizer, names), encode(s, plain(s["text"]), tokenizer, names), s) for s in taught
    ]
    model = Listener(encoder, encoder.config.hidden_size, names)
    train(model, encoded, options, [tokenizer.token_to_id(name) for name in ("[CLS]", "[SEP]", "[MASK]")])
    told = asdict(names) | {"edges": EDGES, "nearness": [[round(x, 3) for x in row] for row in model.nearness.tolist()]}
    (options.out / "labels.json").write_text(json.dumps(told, indent=1), encoding="utf-8")
    export(model, options.out)


def left_out(name: str, options: argparse.Namespace) -> bool:
    """Whether a stream is kept from training, to measure with."""
    if any(name.startswith(start) for start in options.without):
        return True
    if not options.fold:
        return False
    import hashlib

    at, of = map(int, options.fold.split("/"))
    return int(hashlib.sha256(name.encode()).hexdigest()[:8], 16) % of == at


if __name__ == "__main__":
    main()
