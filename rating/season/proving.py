"""Proofs of a season's grades: which review is proved, who signs it, and who holds the same ledger."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rating import regular, text
from rating import review as reviews
from rating.errors import RatingError
from rating.ledger import proof
from rating.release.swap import write_whole
from rating.season import calendar, folder
from rating.season.files import SeasonFiles

# what a proof is called behind its release
SUFFIX = "-proof.json"
_SIGNER = "ssh-keygen"


def prove(files: SeasonFiles, slug: str, target: Path, *, today: date, since: str = "") -> proof.Told:
    """Write the proof of a release's current review; signed, where the season has a key.

    Raises
    ------
    RatingError
        if nothing is recorded of it, it is withdrawn or under embargo, the ledger never had the head `since`,
        or the key does not sign; nothing is written then
    """
    ledger = files.recorded.ledger
    ledger.need()
    body = ledger.text(_current(files, slug))
    _hold_embargo(files, slug, today)
    told = proof.told_of(
        body,
        ledger.rubric(reviews.from_text(body).rubric),
        ledger.ids(),
        season_id=files.config.season_id,
        since=since,
    )
    if key := files.config.sign_with:
        told = _signed(told, files.config.rater_keys[0], files.path / Path(key).expanduser())
    write_whole(target, proof.as_file(told))
    return told


def _current(files: SeasonFiles, slug: str) -> str:
    """The id of the review that counts now; where two copies went apart, the one that standings take."""
    ids = files.recorded.ledger.current_ids(slug)
    if len(ids) != 1 or files.recorded.ledger.review(ids[0]).withdrawn:
        entry = files.recorded.current.get(slug)
        ids = (entry.id,) if entry else ()
    if not ids:
        raise RatingError(
            f"there is no current review of {slug} to prove",
            where=folder.LEDGER_FILE,
            fix=text.hinted(slug, files.recorded.current, f"see 'boxwright ledger history {slug}'"),
        )
    return ids[0]


def _hold_embargo(files: SeasonFiles, slug: str, today: date) -> None:
    end = calendar.embargo_of(files, files.sheet(slug)) if slug in files.slugs else None
    if end is not None and end > today:
        raise RatingError(
            f"{slug} is under embargo until {end.isoformat()}, and a proof holds the whole review",
            where=slug,
            fix="prove it from that day on",
        )


@dataclass(frozen=True, slots=True)
class Checked:
    """A proof that held, from which file, and what is 'shown', 'not shown' or unchecked by question."""

    file: str
    told: proof.Told
    answers: Mapping[str, str]


def checked(
    paths: Sequence[Path], *, heads: Sequence[str], signers: Path | None, release: str = ""
) -> list[Checked]:
    """What proofs show; of one whose older head is that of another file, one history.

    Parameters
    ----------
    heads : heads that somebody else published
    signers : a file of allowed signers, as OpenSSH has them
    release : the one that they must be of, '' for any

    Raises
    ------
    RatingError
        if one does not hold, is of another release, two tell of two histories, or a head is in none of them
    """
    told = {str(path): proof.read(_content(path), where=str(path)) for path in paths}
    for where, one in told.items():
        if release and one["review"]["release"] != release:
            raise RatingError(
                f"this is a proof of {text.printable(one['review']['release'])}, not of {release}",
                where=where,
                fix="ask for the proof of that release",
            )
    proof.one_history(told)
    published = proof.held_heads(heads, told)
    if signers is not None:
        _content(signers)
    found = []
    for where, one in told.items():
        mine = [head for head in published if head in proof.heads_of(one)]
        answers = proof.answers(one, mine, str(signers or ""), where=where)
        others = {other["head"] for file, other in told.items() if file != where}
        if one["earlier"] and one["earlier"]["head"] in others:
            answers["one history"] = "shown"
        found.append(Checked(where, one, answers))
    return found


def _content(path: Path) -> bytes:
    regular.hold(path, file=str(path))
    try:
        with path.open("rb") as file:
            return file.read(proof.LIMIT + 1)
    except OSError as fault:
        raise RatingError(
            f"the file cannot be read: {fault.strerror}",
            where=str(path),
            fix="name the file that you were given",
        ) from fault


def countersign(files: SeasonFiles, path: Path, *, key: Path, name: str) -> proof.Told:
    """Sign the head of a proof too, as somebody whose own ledger begins with the same reviews.

    Raises
    ------
    RatingError
        if it is no proof, or of another season, this ledger does not hold its head, or the key does not sign
    """
    told = proof.read(_content(path), where=str(path))
    if not proof.is_held(told, files.recorded.ledger.ids(), files.config.season_id):
        raise RatingError(
            f"your ledger does not begin with the {text.count(told['reviews'], 'review')} of this head",
            where=str(path),
            fix="bring your copy up to date; a ledger that was merged has an order of its own",
        )
    told = _signed(told, name, key.expanduser())
    write_whole(path, proof.as_file(told))
    return told


def _signed(told: proof.Told, name: str, key: Path) -> proof.Told:
    """A proof signed under a name by ssh-keygen, which asks for a passphrase itself."""
    head = proof.to_sign(told, name)
    if not (program := shutil.which(_SIGNER)):
        raise RatingError(
            f"{_SIGNER} is not installed, so nothing can be signed",
            where=str(key),
            fix="install OpenSSH, or take sign_with out of season.toml for now",
        )
    call = [program, "-Y", "sign", "-f", str(key), "-n", proof.NAMESPACE]
    done = subprocess.run(call, input=head.encode(), capture_output=True, check=False)  # noqa: S603 (no shell)
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines() or ["ssh-keygen does not say why"]
        why = text.printable(said[-1])
        raise RatingError(
            f"the key does not sign: {why}",
            where=str(key),
            fix="name a private key of OpenSSH, or its public half",
        )
    return proof.with_signature(told, name, done.stdout.decode())
