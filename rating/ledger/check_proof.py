"""Check the proof of a grade, offline, with Python alone: python3 check_proof.py FILE [HEAD [SIGNERS]]

HEAD is one that somebody else published, SIGNERS a file of allowed signers as OpenSSH has them. Nothing here
shows that a score is deserved, or that no later review has taken this one's place.
"""

import base64
import hashlib
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
from typing import Any


def canonical(value: Any) -> bytes:  # RFC 8785, for a value of text, whole numbers, lists and objects
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def digest(
    *parts: bytes,
) -> bytes:  # RFC 6962, 2.1: a leaf is that of 0 and an entry, a node of 1 and two more
    return hashlib.sha256(b"".join(parts)).digest()


def head_of(season_id: str, reviews: int, root: bytes) -> str:
    return digest(canonical({"reviews": reviews, "root": root.hex(), "season_id": season_id})).hex()


def climb(index: int, last: int, start: bytes, path: list[bytes]) -> tuple[bytes, bytes]:
    """The roots of the tree that ends with a node, and of the whole, from that node up its path."""
    old, new, rest = start, start, iter(path)
    while last > 0:
        if index % 2:
            left = next(rest)
            old, new = digest(b"\1", left, old), digest(b"\1", left, new)
        elif index < last:
            new = digest(b"\1", new, next(rest))
        index, last = index // 2, last // 2
    return (old, new) if next(rest, None) is None else (b"", b"")


def read(content: bytes) -> dict[str, Any]:
    """The proof in a file, worked out and written anew; an exception where it is none, or a byte differs."""
    told = json.loads(content[:16384])
    season, review, rubric, earlier = (told[name] for name in ("season_id", "review", "rubric", "earlier"))
    index, size, path = int(told["index"]), int(told["reviews"]), [*map(bytes.fromhex, told["path"])]
    _, root = climb(index, size - 1, digest(b"\0", digest(canonical(review))), path)
    points = {one["key"]: one["points"] for one in rubric["criteria"]}
    counted = [(points.get(one["criterion"], 0), one["score"]) for one in review["scores"]]
    N, D = sum(weight * score for weight, score in counted), sum(weight for weight, _ in counted)
    fits = review["grade"] == ((20 * N + D) // (2 * D) if D else None) and 0 <= index < size
    fits &= review["rubric"] == digest(canonical(rubric)).hex() and review.get("season_id", season) == season
    if earlier is not None:
        count, steps = int(earlier["reviews"]), [*map(bytes.fromhex, earlier["path"])]
        whole = count & -count  # so many leaves has the last of the full trees that the older tree is made of
        old, new = climb(count // whole - 1, (size - 1) // whole, steps[0], steps[1:])
        fits &= 0 < count < size and new == root
        earlier = {"head": head_of(season, count, old), "path": [s.hex() for s in steps], "reviews": count}
    signatures = {k: base64.b64encode(base64.b64decode(v)).decode() for k, v in told["signatures"].items()}
    fits &= all(one.startswith("U1NIU0lHAAAAAQ") for one in signatures.values())  # of OpenSSH, version 1
    anew = {"boxwright": "proof of a grade", "earlier": earlier, "format": 1, "index": index, "reviews": size}
    anew |= {"head": head_of(season, size, root), "path": [one.hex() for one in path], "review": review}
    anew |= {"rubric": rubric, "season_id": season, "signatures": signatures}
    if not fits or canonical(anew) + b"\n" != content:
        raise ValueError("it was altered, or its grade does not follow from its scores")
    return anew


def answers(proof: dict[str, Any], heads: list[str], signers: str = "") -> dict[str, str]:
    """The four answers; ValueError where what was given speaks against the proof."""
    head, earlier, names = proof["head"], proof["earlier"] or {"head": "", "reviews": 0}, proof["signatures"]
    program = shutil.which("ssh-keygen") or ""
    who = "not checked here" if names and not program else "shown" if names and signers else "not shown"
    for name, blob in names.items() if program else ():
        with tempfile.TemporaryDirectory() as folder:
            file, said = pathlib.Path(folder, "signature"), f"{head} {name}".encode()
            file.write_text(f"-----BEGIN SSH SIGNATURE-----\n{blob}\n-----END SSH SIGNATURE-----\n", "ascii")
            how = ["-Y", "verify", "-f", signers, "-I", name] if signers else ["-Y", "check-novalidate"]
            call = [program, *how, "-n", "boxwright", "-s", str(file)]
            if subprocess.run(call, input=said, capture_output=True, check=False).returncode:  # noqa: S603 (a list)
                raise ValueError(f"what {name} signed is another head, or the key is not allowed")
    goes_on, is_known = earlier["head"] in heads, head in heads
    if heads and not (goes_on or is_known):
        raise ValueError("the head that you gave is not in it")
    when = "shown" if is_known or (goes_on and proof["index"] < earlier["reviews"]) else "not shown"
    history = "shown" if goes_on else who if len(names) > 1 else "not shown"
    return {"what": "shown", "who": who, "when": when, "one history": history}


if __name__ == "__main__":
    place, published, allowed = [*sys.argv[1:], "", "", ""][:3]
    try:
        found = read(pathlib.Path(place).read_bytes())
        print(json.dumps(found["review"]["title"]), found["review"]["grade"], "tenths, head", found["head"])
        print(*map(": ".join, answers(found, [published] if published else [], allowed).items()), sep="\n")
    except Exception as fault:  # whatever is wrong with a file, it is refused and said
        raise SystemExit(f"refused: {fault}") from fault
