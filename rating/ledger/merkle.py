"""The Merkle tree over the ids of a ledger's reviews, in the order they were added, and the head it gives.

Hashes and paths are those of RFC 6962 and 9162, section 2.1, but that a proof of consistency always begins
with the last full tree that the older one is made of. The head is the SHA-256 of season, number of reviews
and root together: a bare root also fits trees of other sizes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

from rating.ledger.check_proof import digest, head_of


@dataclass(frozen=True, slots=True)
class Tree:
    """A tree by its levels, the leaves first; a node without a neighbour stands on the next one too."""

    levels: tuple[tuple[bytes, ...], ...]

    @property
    def root(self) -> bytes:
        """The hash of the whole; of a tree without leaves that of nothing."""
        return self.levels[-1][0] if self.levels[0] else digest()

    @property
    def size(self) -> int:
        """How many leaves it has."""
        return len(self.levels[0])

    def inclusion(self, index: int) -> list[bytes]:
        """The path from a leaf to the root: at each level the neighbour, where there is one."""
        return self._path(0, index)

    def consistency(self, size: int) -> list[bytes]:
        """What shows that the first `size` leaves, from 1 up, are the beginning of this tree."""
        level = (size & -size).bit_length() - 1
        index = (size - 1) >> level
        return [self.levels[level][index], *self._path(level, index)]

    def _path(self, level: int, index: int) -> list[bytes]:
        path = []
        for nodes in self.levels[level:]:
            if index ^ 1 < len(nodes):
                path.append(nodes[index ^ 1])
            index >>= 1
        return path


def tree(entries: Sequence[bytes]) -> Tree:
    """The tree over some entries."""
    # as `digest` does, without its calls: ten thousand reviews are twenty thousand hashes
    levels = [tuple(sha256(b"\0" + entry).digest() for entry in entries)]
    while len(levels[-1]) > 1:
        nodes = levels[-1]
        pairs = zip(nodes[::2], nodes[1::2], strict=False)
        paired = [sha256(b"\1" + left + right).digest() for left, right in pairs]
        levels.append((*paired, *nodes[len(nodes) - len(nodes) % 2 :]))
    return Tree(tuple(levels))


def tree_of(ids: Sequence[str]) -> Tree:
    """The tree over the ids of reviews, each the 32 bytes that its letters stand for."""
    return tree([bytes.fromhex(one) for one in ids])


def head(season_id: str, ids: Sequence[str]) -> str:
    """The head of a ledger by its season and its reviews in the order they were added."""
    return head_of(season_id, len(ids), tree_of(ids).root)


def size_under(told: str, season_id: str, ids: Sequence[str]) -> int | None:
    """How many of some reviews stand under a head, told by its first letters or all; None where none do."""
    full: list[tuple[int, bytes]] = []  # the full trees of what was added so far, the largest first
    for size, one in enumerate(ids, start=1):
        leaves, top = 1, digest(b"\0", bytes.fromhex(one))
        while full and full[-1][0] == leaves:
            leaves, top = 2 * leaves, digest(b"\1", full.pop()[1], top)
        full.append((leaves, top))
        root = full[-1][1]
        for _, left in full[-2::-1]:
            root = digest(b"\1", left, root)
        if head_of(season_id, size, root).startswith(told):
            return size
    return None
