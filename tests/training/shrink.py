"""Keeps of an encoder's vocabulary only the word pieces that talk needs."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tokenizers import Tokenizer
from torch import nn

SPECIAL = ("[PAD]", "[UNK]", "[CLS]", "[SEP]", "[MASK]")


def shrink(folder: Path, out: Path, texts: list[str], encoder: nn.Module, others: int) -> Tokenizer:
    """Keeps the pieces of those texts and the commonest others; writes the tokenizer, shrinks the embeddings."""
    spec = json.loads((folder / "tokenizer.json").read_text(encoding="utf-8"))
    vocab: dict[str, int] = spec["model"]["vocab"]
    full = Tokenizer.from_file(str(folder / "tokenizer.json"))
    full.no_padding()
    full.no_truncation()
    used = {i for text in texts for i in full.encode(text, add_special_tokens=False).ids}
    # The vocabulary of such an encoder stands in order of how common a piece is.
    by_rank = sorted(vocab.items(), key=lambda item: item[1])
    common = [i for piece, i in by_rank if re.fullmatch(r"(##)?[a-z0-9'.,?!:;/%-]+", piece)]
    keep = list(dict.fromkeys([*(vocab[piece] for piece in SPECIAL), *sorted(used), *common[:others]]))
    new = {old: at for at, old in enumerate(keep)}
    spec["model"]["vocab"] = {piece: new[i] for piece, i in by_rank if i in new}
    for token in spec["added_tokens"]:
        token["id"] = new[token["id"]]
    spec["padding"] = spec["truncation"] = spec["post_processor"] = None
    (out / "tokenizer.json").write_text(json.dumps(spec), encoding="utf-8")
    words = encoder.embeddings.word_embeddings  # type: ignore[union-attr]
    kept = nn.Embedding.from_pretrained(words.weight[keep].clone(), freeze=False, padding_idx=0)  # type: ignore
    encoder.embeddings.word_embeddings = kept  # type: ignore[union-attr]
    return Tokenizer.from_file(str(out / "tokenizer.json"))
