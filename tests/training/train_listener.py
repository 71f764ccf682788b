"""Trains the listener: a small transformer that marks events in talk and tells their place, verdict and conditions.

    python tests/training/train_listener.py ENCODER DATA... --out DIR [--layers 6] [--epochs 8]

ENCODER is a folder with a BERT-style encoder (config.json, model.safetensors, tokenizer.json). DATA are files of
annotated talk whose events carry their words. DIR gets ``listener.onnx`` (8-bit weights), ``tokenizer.json`` with the
word pieces that are kept, and ``labels.json``. Needs torch, transformers, onnx, onnxruntime; a GPU makes it minutes.
"""

from __future__ import annotations

import argparse
import json
import random
import re
from pathlib import Path
from typing import Any

import numpy as np
import torch
from streams import CONDITIONS, KINDS, REASONS, SIDES, VERDICTS, Stream, streams_of
from tokenizers import Tokenizer
from torch import nn

WINDOW, SEED = 160, 7


class Listener(nn.Module):
    """An encoder with seven heads on every word piece."""

    def __init__(self, encoder: nn.Module, width: int, labels: int) -> None:
        super().__init__()
        self.encoder = encoder
        self.drop = nn.Dropout(0.2)
        self.event = nn.Linear(width, labels)
        nn.init.constant_(self.event.bias, -4.0)  # events are rare: start from "nothing here"
        self.kind = nn.Linear(width, len(KINDS))
        self.side = nn.Linear(width, len(SIDES))
        self.verdict = nn.Linear(width, len(VERDICTS))
        self.condition = nn.Linear(width, len(CONDITIONS))
        self.place = nn.Linear(width, 1)
        self.aside = nn.Linear(width, len(REASONS))

    def forward(self, ids: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, ...]:
        hidden = self.drop(self.encoder(input_ids=ids, attention_mask=mask).last_hidden_state)
        return (
            self.event(hidden),
            self.kind(hidden),
            self.side(hidden),
            self.verdict(hidden),
            self.condition(hidden),
            self.place(hidden),
            self.aside(hidden),
        )


def bare(stream: Stream) -> Stream:
    """The stream without punctuation, letters kept in place by blanks."""
    text = re.sub(r"[,.?!;:—…](?!\d)", " ", stream.text)
    return Stream(stream.id, text, stream.stretches, stream.places, stream.asides)


def encode(stream: Stream, tokenizer: Tokenizer, labels: dict[str, int]) -> dict[str, np.ndarray]:
    """Word pieces and targets of a stream."""
    made = tokenizer.encode(stream.text, add_special_tokens=False)
    n = len(made.ids)
    out = {
        "ids": np.array(made.ids, dtype=np.int64),
        "event": np.zeros((n, len(labels)), dtype=np.float32),
        "kind": np.full(n, -100, dtype=np.int64),
        "side": np.full(n, -100, dtype=np.int64),
        "verdict": np.full(n, -100, dtype=np.int64),
        "condition": np.full((n, len(CONDITIONS)), -1, dtype=np.float32),
        "place": np.zeros((n, 1), dtype=np.float32),
        "aside": np.zeros((n, len(REASONS)), dtype=np.float32),
    }
    for i, (a, b) in enumerate(made.offsets):
        for first, last, kind, side in stream.places:
            if a < last and first < b:
                out["place"][i] = 1
                out["kind"][i], out["side"][i] = KINDS.index(kind), SIDES.index(side)
        for first, last, reason in stream.asides:
            if a < last and first < b:
                out["aside"][i, REASONS.index(reason)] = 1
    for stretch in stream.stretches:
        for i, (a, b) in enumerate(made.offsets):
            if a < stretch.last and stretch.first < b and stretch.label in labels:
                out["event"][i, labels[stretch.label]] = 1
                if stretch.asks_place:
                    out["kind"][i], out["side"][i] = KINDS.index(stretch.kind), SIDES.index(stretch.side)
                out["verdict"][i] = VERDICTS.index(stretch.verdict)
                out["condition"][i] = [c in stretch.conditions for c in CONDITIONS]
    return out


def windows(encoded: list[dict[str, np.ndarray]], rng: random.Random) -> list[dict[str, np.ndarray]]:
    """Windows over the streams, their starts moved about from epoch to epoch."""
    made = []
    for one in encoded:
        n = len(one["ids"])
        start = 0 if n <= WINDOW else -rng.randrange(WINDOW // 2)
        while start < n:
            a, b = max(0, start), min(n, start + WINDOW)
            made.append({key: value[a:b] for key, value in one.items()})
            start += WINDOW * 2 // 3
    rng.shuffle(made)
    return made


def batches(made: list[dict[str, np.ndarray]], size: int, cls: int, sep: int, device: str) -> Any:
    for at in range(0, len(made), size):
        chunk = made[at : at + size]
        longest = max(len(one["ids"]) for one in chunk) + 2
        ids = torch.zeros(len(chunk), longest, dtype=torch.long)
        mask = torch.zeros(len(chunk), longest, dtype=torch.long)
        targets = {
            key: torch.full(
                (len(chunk), longest, *chunk[0][key].shape[1:]), -100 if chunk[0][key].dtype == np.int64 else -1.0
            )
            for key in ("event", "kind", "side", "verdict", "condition", "place", "aside")
        }
        for row, one in enumerate(chunk):
            n = len(one["ids"])
            ids[row, 0], ids[row, n + 1], mask[row, : n + 2] = cls, sep, 1
            ids[row, 1 : n + 1] = torch.from_numpy(one["ids"])
            for key, target in targets.items():
                target[row, 1 : n + 1] = torch.from_numpy(one[key]).to(target.dtype)
        yield ids.to(device), mask.to(device), {key: value.to(device) for key, value in targets.items()}


def loss_of(out: tuple[torch.Tensor, ...], targets: dict[str, torch.Tensor]) -> torch.Tensor:
    event, kind, side, verdict, condition, place, aside = out
    known = targets["event"] >= 0
    weight = torch.where(targets["event"] > 0.5, 4.0, 1.0)
    bce = nn.functional.binary_cross_entropy_with_logits(
        event.float(), targets["event"].clamp(min=0), weight, reduction="none"
    )
    loss = (bce * known).sum() / known.any(-1).sum().clamp(min=1)
    for logits, key, share in ((kind, "kind", 0.6), (side, "side", 0.4), (verdict, "verdict", 0.4)):
        loss = loss + share * nn.functional.cross_entropy(
            logits.float().flatten(0, 1), targets[key].long().flatten(), ignore_index=-100
        )
    told = targets["condition"] >= 0
    bce = nn.functional.binary_cross_entropy_with_logits(
        condition.float(), targets["condition"].clamp(min=0), reduction="none"
    )
    loss = loss + 2.0 * (bce * told).sum() / told.sum().clamp(min=1)
    for logits, key, share in ((place, "place", 0.5), (aside, "aside", 0.3)):
        here = targets[key] >= 0
        bce = nn.functional.binary_cross_entropy_with_logits(
            logits.float(), targets[key].clamp(min=0), reduction="none"
        )
        loss = loss + share * (bce * here).sum() / here.any(-1).sum().clamp(min=1)
    return loss


def measure(
    model: Listener, held: list[dict[str, np.ndarray]], size: int, cls: int, sep: int, device: str
) -> dict[str, float]:
    """Figures over held out windows, word piece by word piece."""
    model.eval()
    tp = fp = fn = 0
    right = {key: [0, 0] for key in ("kind", "side", "verdict")}
    with torch.no_grad():
        for ids, mask, targets in batches(held, size, cls, sep, device):
            out = model(ids, mask)
            known = targets["event"] >= 0
            got, want = (out[0] > 0) & known, (targets["event"] > 0.5) & known
            tp, fp, fn = tp + int((got & want).sum()), fp + int((got & ~want).sum()), fn + int((~got & want).sum())
            for logits, key in zip(out[1:4], right, strict=True):
                asked = targets[key] >= 0
                right[key][0] += int((logits.argmax(-1)[asked] == targets[key][asked]).sum())
                right[key][1] += int(asked.sum())
    f1 = 2 * tp / max(2 * tp + fp + fn, 1)
    return {"piece_f1": round(f1, 4), **{key: round(a / max(b, 1), 4) for key, (a, b) in right.items()}}


def prune(folder: Path, out: Path, texts: list[str], encoder: nn.Module, extra: int) -> Tokenizer:
    """Keeps the word pieces that the talk uses and the commonest others; shrinks the embeddings to them."""
    spec = json.loads((folder / "tokenizer.json").read_text(encoding="utf-8"))
    vocab: dict[str, int] = spec["model"]["vocab"]
    full = Tokenizer.from_file(str(folder / "tokenizer.json"))
    full.no_padding()
    full.no_truncation()
    used = {i for text in texts for i in full.encode(text, add_special_tokens=False).ids}
    # The vocabulary of such an encoder stands in order of how common a piece is.
    common = [
        i
        for piece, i in sorted(vocab.items(), key=lambda item: item[1])
        if re.fullmatch(r"(##)?[a-z0-9'.,?!:;/%-]+", piece)
    ]
    special = [vocab[piece] for piece in ("[PAD]", "[UNK]", "[CLS]", "[SEP]", "[MASK]")]
    keep = list(dict.fromkeys([*special, *sorted(used), *common[:extra]]))
    new = {old: at for at, old in enumerate(keep)}
    spec["model"]["vocab"] = {piece: new[i] for piece, i in sorted(vocab.items(), key=lambda item: item[1]) if i in new}
    for token in spec["added_tokens"]:
        token["id"] = new[token["id"]]
    spec["padding"] = spec["truncation"] = spec["post_processor"] = None
    (out / "tokenizer.json").write_text(json.dumps(spec), encoding="utf-8")
    words = encoder.embeddings.word_embeddings
    encoder.embeddings.word_embeddings = nn.Embedding.from_pretrained(
        words.weight[keep].clone(), freeze=False, padding_idx=0
    )
    return Tokenizer.from_file(str(out / "tokenizer.json"))


def export(model: Listener, out: Path) -> None:
    """The model as ONNX with 8-bit weights."""
    from onnxruntime.quantization import QuantType, quantize_dynamic

    model = model.float().cpu().eval()
    ids, mask = torch.ones(2, 24, dtype=torch.long), torch.ones(2, 24, dtype=torch.long)
    names = ["event", "kind", "side", "verdict", "condition", "place", "aside"]
    axes = {name: {0: "batch", 1: "pieces"} for name in ["ids", "mask", *names]}
    torch.onnx.export(
        model, (ids, mask), str(out / "whole.onnx"), input_names=["ids", "mask"], output_names=names,
        dynamic_axes=axes, opset_version=17, dynamo=False,
    )  # fmt: skip
    quantize_dynamic(str(out / "whole.onnx"), str(out / "listener.onnx"), weight_type=QuantType.QInt8)
    (out / "whole.onnx").unlink()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("encoder", type=Path)
    parser.add_argument("data", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--layers", type=int, default=6)
    parser.add_argument("--epochs", type=int, default=30)
    parser.add_argument("--rate", type=float, default=3e-4)
    parser.add_argument("--batch", type=int, default=16)
    parser.add_argument("--held", type=float, default=0.08)
    parser.add_argument("--pieces", type=int, default=6500, help="common word pieces kept beside those of the talk")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    from transformers import AutoModel

    torch.manual_seed(SEED)
    rng = random.Random(SEED)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    streams = [stream for path in options.data for stream in streams_of(path)]
    labels = {label: i for i, label in enumerate(sorted({s.label for stream in streams for s in stream.stretches}))}
    encoder = AutoModel.from_pretrained(options.encoder, add_pooling_layer=False).float()
    encoder.encoder.layer = encoder.encoder.layer[: options.layers]
    tokenizer = prune(options.encoder, options.out, [stream.text for stream in streams], encoder, options.pieces)
    cls, sep = tokenizer.token_to_id("[CLS]"), tokenizer.token_to_id("[SEP]")
    model = Listener(encoder, encoder.config.hidden_size, len(labels)).to(device)
    held = [s for s in streams if options.held and hash_of(s.id) < options.held]
    taught = [s for s in streams if s not in held] if held else streams
    held_windows = windows([encode(s, tokenizer, labels) for s in held], random.Random(1))
    both = [(encode(s, tokenizer, labels), encode(bare(s), tokenizer, labels)) for s in taught]
    print(
        len(taught),
        "streams,",
        sum(len(s.stretches) for s in taught),
        "events,",
        sum(s.lost for s in streams),
        "without words,",
        len(labels),
        "labels",
    )
    steps = options.epochs * (len(windows([a for a, _ in both], rng)) // options.batch + 2)
    optimizer = torch.optim.AdamW(model.parameters(), lr=options.rate, weight_decay=0.01)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimizer, options.rate, total_steps=steps + 200, pct_start=0.1)
    for epoch in range(options.epochs):
        model.train()
        total = 0.0
        chosen = windows([b if rng.random() < 0.35 else a for a, b in both], rng)
        for ids, mask, targets in batches(chosen, options.batch, cls, sep, device):
            loss = loss_of(model(ids, mask), targets)
            optimizer.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            optimizer.step()
            schedule.step()
            total += float(loss)
        if held_windows:
            print(epoch, round(total, 2), measure(model, held_windows, 32, cls, sep, device), flush=True)
    (options.out / "labels.json").write_text(
        json.dumps(
            {
                "labels": list(labels),
                "kinds": KINDS,
                "sides": SIDES,
                "verdicts": VERDICTS,
                "conditions": CONDITIONS,
                "reasons": REASONS,
            },
            indent=1,
        ),
        encoding="utf-8",
    )
    export(model, options.out)


def hash_of(text: str) -> float:
    """A number from 0 to 1 that depends on the text alone."""
    import hashlib

    return int(hashlib.sha256(text.encode()).hexdigest()[:8], 16) / 0xFFFFFFFF


if __name__ == "__main__":
    main()
