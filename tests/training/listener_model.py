"""The listener: an encoder with a head for each thing that is told of a word piece, and ties between pieces."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import torch
from torch import nn

TIE = 64
# How far a mention stands from its event, in word pieces before (positive) or behind it; each stretch has its own bias.
EDGES = (-60, -24, -10, -4, 0, 4, 8, 14, 24, 40, 64, 100, 160, 240, 340)
# What each output tells of a piece: "any" several at once, "one" a choice, "tie" half of a tie between two pieces.
HEADS = {
    "event": "any", "kind": "one", "side": "one", "verdict": "one", "condition": "any", "place": "any", "aside": "any",
    "detail": "any", "has": "any", "fact": "any", "seeks": "tie", "offers": "tie",
}  # fmt: skip
_STEEP = 15.0
# How much each head counts in the loss, and how much more a yes than a no.
SHARE = {"event": 1.0, "kind": 0.6, "side": 0.5, "verdict": 0.4, "condition": 3.0, "place": 0.5, "aside": 0.4,
         "detail": 1.0, "has": 1.5, "fact": 0.6, "tie": 1.5}  # fmt: skip
YES = {"event": 2.0, "condition": 2.0, "detail": 3.0, "fact": 4.0}


@dataclass(frozen=True)
class Names:
    """What the places of each head stand for."""

    labels: list[str]
    kinds: list[str]
    sides: list[str]
    verdicts: list[str]
    conditions: list[str]
    reasons: list[str]
    details: list[str]
    facts: list[str]

    def sizes(self) -> dict[str, int]:
        return {
            "event": len(self.labels), "kind": len(self.kinds), "side": len(self.sides),
            "verdict": len(self.verdicts), "condition": len(self.conditions), "place": 1, "aside": len(self.reasons),
            "detail": len(self.details), "has": len(self.details), "fact": len(self.facts), "seeks": TIE, "offers": TIE,
        }  # fmt: skip


class Listener(nn.Module):
    """Encoder and heads; gives one tensor a head, in the order of ``HEADS``."""

    def __init__(self, encoder: nn.Module, width: int, names: Names) -> None:
        super().__init__()
        self.encoder = encoder
        self.drop = nn.Dropout(0.3)
        self.heads = nn.ModuleDict({name: nn.Linear(width, size) for name, size in names.sizes().items()})
        for name in ("event", "detail", "fact", "condition"):
            nn.init.constant_(self.heads[name].bias, -4.0)  # these are rare: start from "nothing here"
        self._nearness = nn.Parameter(torch.zeros(len(names.details), len(EDGES) + 1))

    @property
    def nearness(self) -> torch.Tensor:
        """The bias of a tie by detail and distance; held small, so that it learns faster than the rest."""
        return 10.0 * self._nearness

    def forward(self, ids: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, ...]:
        hidden = self.drop(self.encoder(input_ids=ids, attention_mask=mask).last_hidden_state)
        return tuple(self.heads[name](hidden) for name in HEADS)


def loss_of(out: dict[str, torch.Tensor], targets: dict[str, torch.Tensor]) -> torch.Tensor:
    """The loss of a batch; a target below zero is not asked for."""
    total = torch.zeros((), device=out["event"].device)
    for name, sort in HEADS.items():
        if sort == "any":
            asked = targets[name] >= 0
            weight = torch.where(targets[name] > 0.5, YES.get(name, 1.0), 1.0)
            bce = nn.functional.binary_cross_entropy_with_logits(
                out[name].float(), targets[name].clamp(min=0), weight, reduction="none"
            )
            total = total + SHARE[name] * (bce * asked).sum() / asked.any(-1).sum().clamp(min=1)
        elif sort == "one":
            choice = nn.functional.cross_entropy(
                out[name].float().flatten(0, 1), targets[name].long().flatten(), ignore_index=-100, reduction="sum"
            )
            total = total + SHARE[name] * choice / (targets[name] >= 0).sum().clamp(min=1)
    return total + SHARE["tie"] * tie_loss(out["seeks"], out["offers"], out["nearness"], targets)


def tie_loss(
    seeks: torch.Tensor, offers: torch.Tensor, nearness: torch.Tensor, targets: dict[str, torch.Tensor]
) -> torch.Tensor:
    """For each event and kind of detail: how well the mentions that its point rests on stand out among the others."""
    length = seeks.shape[1]
    places = torch.arange(length, device=seeks.device)
    edges = torch.tensor(EDGES, device=seeks.device)
    bucket = torch.bucketize(places[:, None] - places[None, :], edges, right=True)
    keys = torch.arange(nearness.shape[0], device=seeks.device)
    of_key = (targets["key"][..., None] == keys).float()
    scores = seeks @ offers.transpose(1, 2) / TIE**0.5 + torch.einsum("bck,krc->brc", of_key, nearness[:, bucket])
    asked = targets["tie"] >= 0
    shares = torch.where(asked, scores.clamp(-_STEEP, _STEEP).exp(), 0.0)
    right = asked & (targets["tie"] > 0.5)
    there = (right.float() @ of_key) > 0
    every, meant = shares @ of_key, torch.where(right, shares, 0.0) @ of_key
    missed = torch.where(there, every.clamp(min=1e-9).log() - meant.clamp(min=1e-9).log(), 0.0)
    return missed.sum() / there.sum().clamp(min=1)


def export(model: Listener, out: Path) -> None:
    """The model as ONNX with 8-bit weights."""
    from onnxruntime.quantization import QuantType, quantize_dynamic

    model = model.float().cpu().eval()
    ids, mask = torch.ones(2, 24, dtype=torch.long), torch.ones(2, 24, dtype=torch.long)
    axes = {name: {0: "batch", 1: "pieces"} for name in ["ids", "mask", *HEADS]}
    torch.onnx.export(
        model, (ids, mask), str(out / "whole.onnx"), input_names=["ids", "mask"], output_names=list(HEADS),
        dynamic_axes=axes, opset_version=17, dynamo=False,
    )  # fmt: skip
    quantize_dynamic(str(out / "whole.onnx"), str(out / "listener.onnx"), weight_type=QuantType.QInt8)
    (out / "whole.onnx").unlink()
