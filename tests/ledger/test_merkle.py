"""The Merkle tree: published vectors, an independent library, and every path of small trees."""

from __future__ import annotations

import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pymerkle import InmemoryTree, verify_consistency

from rating.ledger import merkle
from rating.ledger.check_proof import climb, digest, head_of

# The reference leaves, roots and paths of Certificate Transparency, the log that RFC 6962 describes, as the
# project transparency-dev/merkle publishes them in testonly/constants.go and testonly/reference_test.go.
ENTRIES = [
    bytes.fromhex(one)
    for one in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
ROOTS = (
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
)
FIFTH_OF_EIGHT = (
    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
)
THREE_TO_EIGHT = (
    "0298d122906dcfc10892cb53a73992fc5b9f493ea4c9badb27b791b4127a7fe7",
    "07506a85fd9dd2f120eb694f86011e5bb4662e5c415a62917033d4a9624487e7",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
)
TWO_TO_FIVE = (
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
)
IDS = [hashlib.sha256(str(number).encode()).hexdigest() for number in range(40)]


def shown(path):
    return tuple(one.hex() for one in path)


def between(path, first, second):
    """The roots of a tree's beginning and of the whole that a path of consistency leads to."""
    full = first & -first
    return climb(first // full - 1, (second - 1) // full, path[0], path[1:])


@pytest.mark.parametrize("size", range(9))
def test_roots_are_the_published_ones(size):
    assert merkle.tree(ENTRIES[:size]).root.hex() == ROOTS[size]


def test_paths_are_the_published_ones():
    """Where the older tree is a full one, its root goes before what RFC 6962 has."""
    eight = merkle.tree(ENTRIES)
    assert shown(eight.inclusion(5)) == FIFTH_OF_EIGHT
    assert shown(eight.consistency(3)) == THREE_TO_EIGHT
    assert shown(merkle.tree(ENTRIES[:5]).consistency(2)) == (ROOTS[2], *TWO_TO_FIVE)
    path = [bytes.fromhex(one) for one in FIFTH_OF_EIGHT]
    assert climb(5, 7, digest(b"\0", ENTRIES[5]), path)[1].hex() == ROOTS[8]
    path = [bytes.fromhex(one) for one in THREE_TO_EIGHT]
    assert shown(between(path, 3, 8)) == (ROOTS[3], ROOTS[8])


@given(st.lists(st.binary(max_size=40), min_size=1, max_size=70), st.data())
def test_another_library_finds_the_same_roots_and_paths(entries, data):
    """pymerkle, whose paths to a leaf begin with it, and whose proofs of consistency hold for our roots."""
    ours, theirs = merkle.tree(entries), InmemoryTree.init_from_entries(entries)
    index = data.draw(st.integers(0, len(entries) - 1))
    assert ours.root == theirs.get_root()
    proof = theirs.prove_inclusion(index + 1)
    assert [digest(b"\0", entries[index]), *ours.inclusion(index)] == proof.path
    first = index + 1
    older = merkle.tree(entries[:first]).root
    assert older == theirs.get_root(first)
    assert between(ours.consistency(first), first, len(entries)) == (older, ours.root)
    verify_consistency(older, ours.root, theirs.prove_consistency(first, len(entries)))


def test_every_place_of_small_trees_is_shown_by_its_own_path_alone():
    """No other place, size or number of steps leads to the same root."""
    for size in range(1, 18):
        tree = merkle.tree_of(IDS[:size])
        for index in range(size):
            start, path = digest(b"\0", bytes.fromhex(IDS[index])), tree.inclusion(index)
            assert climb(index, size - 1, start, path)[1] == tree.root
            assert climb(index, size - 1, start, [*path, tree.root])[1] != tree.root
            for other in set(range(size)) - {index}:
                assert led_to(other, size, start, path) != tree.root
            if path:
                assert led_to(index, size, start, path[:-1]) != tree.root


def led_to(index, size, start, path):
    try:
        return climb(index, size - 1, start, path)[1]
    except StopIteration:
        return b""


def test_the_head_is_the_hash_of_season_size_and_root_together():
    """By hand: canonical JSON of the three. A bare root, and a path to it, fit 4 reviews as well as 3."""
    root = merkle.tree_of(IDS[:3]).root.hex()
    told = json.dumps({"reviews": 3, "root": root, "season_id": "ab"}, separators=(",", ":"))
    assert merkle.head("ab", IDS[:3]) == hashlib.sha256(told.encode()).hexdigest()
    tree = merkle.tree_of(IDS[:3])
    start = digest(b"\0", bytes.fromhex(IDS[0]))
    assert climb(0, 3, start, tree.inclusion(0))[1] == tree.root == climb(0, 2, start, tree.inclusion(0))[1]
    assert head_of("ab", 4, tree.root) != head_of("ab", 3, tree.root) != head_of("ac", 3, tree.root)


def test_a_head_is_found_again_by_its_size():
    """Each of the heads that a ledger had, by its first letters."""
    for size in range(1, len(IDS) + 1):
        assert merkle.size_under(merkle.head("ab", IDS[:size])[:12], "ab", IDS) == size
    assert merkle.size_under(merkle.head("ac", IDS[:5]), "ab", IDS) is None


def test_a_ledger_gives_its_head(book):
    """Over its reviews in the order they were added; without any, that of an empty tree."""
    assert book.ledger.tree_head() == merkle.head("", [entry.id for entry in book.ledger.entries()])
