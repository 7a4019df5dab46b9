"""Signatures of proofs by ssh-keygen itself: made, checked, and refused where the key is not allowed."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys

import pytest

from rating.cli import main
from rating.ledger import proof

pytestmark = [
    pytest.mark.real,
    pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="OpenSSH is not installed"),
]


@pytest.fixture(scope="module")
def keys(tmp_path_factory):
    """A folder with the keys of mo, wren and a stranger, and a file that allows the first two."""
    folder = tmp_path_factory.mktemp("keys")
    for name in ("mo", "wren", "stranger"):
        subprocess.run(
            ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", folder / name], check=True
        )
    lines = [f"{name} {(folder / f'{name}.pub').read_text()}" for name in ("mo", "wren")]
    (folder / "allowed").write_text("".join(lines))
    (folder / "mo-alone").write_text(lines[0])
    return folder


@pytest.fixture
def signing(own_season, keys):
    """The sample season with mo's key."""
    path = own_season / "season.toml"
    settings = path.read_text(encoding="utf-8")
    path.write_text(f'{settings}\n[ledger]\nsign_with = "{keys / "mo"}"\n', encoding="utf-8")
    return own_season


@pytest.fixture
def signed(signing, tmp_path, capsys):
    """Where a signed proof of the sample's Halyard lies."""
    assert main(["ledger", "prove", "halyard", "--into", str(tmp_path), "--season", str(signing)]) == 0
    capsys.readouterr()
    return tmp_path / "halyard-proof.json"


def checked(capsys, file, *words):
    code = main(["ledger", "check", str(file), "--json", *map(str, words)])
    out, err = capsys.readouterr()
    return (json.loads(out)["proofs"][0] if code == 0 else code), err


def test_ssh_keygen_takes_what_the_program_signed(signed, keys, tmp_path):
    """Called by hand: the blob between OpenSSH's own lines, over the head and the name."""
    told = json.loads(signed.read_bytes())
    blob = told["signatures"]["mo"]
    lines = ["-----BEGIN SSH SIGNATURE-----", blob, "-----END SSH SIGNATURE-----", ""]
    (tmp_path / "blob").write_text("\n".join(lines))
    call = ["ssh-keygen", "-Y", "verify", "-f", keys / "allowed", "-I", "mo", "-n", proof.NAMESPACE]
    said = f"{told['head']} mo".encode()
    for text, code in ((said, 0), (said.replace(b" mo", b" wren"), 255)):
        done = subprocess.run([*call, "-s", tmp_path / "blob"], input=text, capture_output=True, check=False)
        assert done.returncode == code


def test_who_is_shown_by_an_allowed_key_alone(signed, keys, capsys, tmp_path):
    """Without a file of signers the signature holds, and shows nobody."""
    assert checked(capsys, signed)[0]["who"] == "not shown"
    got, _ = checked(capsys, signed, "--signers", keys / "allowed")
    assert (got["who"], got["signed_by"], got["one_history"]) == ("shown", ["mo"], "not shown")
    (keys / "wren-alone").write_text((keys / "allowed").read_text().splitlines(keepends=True)[1])
    code, err = checked(capsys, signed, "--signers", keys / "wren-alone")
    assert code == 1
    assert "a key that is not allowed" in err or "the key is not allowed" in err
    assert checked(capsys, signed, "--signers", tmp_path / "none")[0] == 1
    (keys / "garbage").write_bytes(b"\xff\x00 not keys\n" * 3)
    assert checked(capsys, signed, "--signers", keys / "garbage")[0] == 1


def test_every_letter_of_a_signature_is_held(signed, capsys):
    """Where ssh-keygen is there, with nobody's key allowed: each of some letters altered, and the name."""
    content = signed.read_bytes()
    start = content.index(b'"signatures":{"mo":"') + len(b'"signatures":{"')
    for place in [
        start,
        start + 1,
        *range(start + 5, len(content) - 4, 13),
        len(content) - 5,
        len(content) - 6,
    ]:
        other = b"B" if content[place : place + 1] == b"A" else b"A"
        signed.write_bytes(content[:place] + other + content[place + 1 :])
        assert checked(capsys, signed)[0] == 1, place
    signed.write_bytes(content)
    assert checked(capsys, signed)[0]["what"] == "shown"


def test_a_co_host_with_the_same_ledger_countersigns(signed, signing, keys, capsys):
    """Their signature shows one history; one of a ledger that is shorter, or another, is refused."""
    words = ("--countersign", keys / "wren", "--as", "wren", "--season", signing)
    got, err = checked(capsys, signed, *words, "--signers", keys / "allowed")
    assert err == ""
    assert (got["who"], got["one_history"], got["signed_by"]) == ("shown", "shown", ["mo", "wren"])
    assert checked(capsys, signed)[0]["one_history"] == "not shown"
    assert checked(capsys, signed, "--signers", keys / "mo-alone")[0] == 1
    before = signed.read_bytes()
    for season in (signing / "earlier" / "2030",):
        code, err = checked(capsys, signed, *words[:-1], season)
        assert (code, signed.read_bytes()) == (1, before)
        assert "your ledger does not begin with" in err
    for name in ("", "two words", "-x", "*"):
        code, err = checked(capsys, signed, *words[:2], "--as", name, *words[4:])
        assert (code, signed.read_bytes()) == (1, before)


def test_the_script_alone_checks_signatures_too(signed, keys, tmp_path):
    script = tmp_path / "check_proof.py"
    script.write_text(proof.script(), encoding="utf-8")
    head = json.loads(signed.read_bytes())["head"]
    call = [sys.executable, "-I", "-S", script, signed, head]
    done = subprocess.run([*call, keys / "allowed"], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[1:] == [
        "what: shown",
        "who: shown",
        "when: shown",
        "one history: not shown",
    ]
    (keys / "nobody").write_text("")
    done = subprocess.run([*call, keys / "nobody"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr.count("\n")) == (1, 1)


def test_where_it_is_not_installed_who_is_not_checked(signed, keys, capsys, monkeypatch):
    """And nothing is signed in silence without."""
    monkeypatch.setenv("PATH", "")
    got, _ = checked(capsys, signed, "--signers", keys / "allowed")
    assert (got["what"], got["who"]) == ("shown", "not checked here")


def test_a_key_that_does_not_sign_writes_nothing(signing, keys, tmp_path, capsys, monkeypatch):
    """None there, no key, or no ssh-keygen."""
    path = signing / "season.toml"
    settings = path.read_text(encoding="utf-8")
    words = ["ledger", "prove", "halyard", "--into", str(tmp_path / "out"), "--season", str(signing)]
    for other in (keys / "none", keys / "allowed"):
        path.write_text(settings.replace(str(keys / "mo"), str(other)), encoding="utf-8")
        assert main(words) == 1
        assert "the key does not sign" in capsys.readouterr().err
    path.write_text(settings, encoding="utf-8")
    monkeypatch.setenv("PATH", "")
    assert main(words) == 1
    assert "ssh-keygen is not installed" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
