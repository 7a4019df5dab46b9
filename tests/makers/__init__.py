"""A generator of makers: invented leagues, releases with their truth, and documents in layouts of their own.

Use
    python tests/makers --seeds 0:40        score the program on the makers of these seeds
    python tests/makers --fixed             on the forty that stay the same
    python tests/makers --hand              on the five made by hand
    python tests/makers --help              everything else: answers, features, what to list and keep

    from makers.maker import make
    maker = make(7)                         its league, release, documents, features and truth
    maker.case().files                      name -> bytes, as a reviewer would get them
    make(7, {"arrangement": "beside"})      the same maker with a choice of the grammar fixed

How it is made
    dice.py         draws that are the same everywhere
    truth/          people, league, planning (a release whose odds keep its promises), market, facts
    documents/      layout (the grammar: every choice drawn by itself, and the names of features), one writer
                    a kind of document, damage, containers
    maker.py        binds it all: files, what the reviewer has typed, the truth with the places that state it
    scoring/        run (the real program), written (its tables), report (its answer), compare, answers
    score.py        the account by kind of fact, by feature, and the worst
    hand/           five makers made by hand, each with its truth.json

What counts
    A fact counts where a document determines it, else it is right when it is blank or asked. Each ends as
    right, open, set aside, wrong or lost; see scoring/compare.py. A value that was made up counts as wrong.

It shares no word and no code with the reader and was written without knowing it. It is frozen: a reader is
mended to read these makers, never the other way round. test_frozen.py holds a digest of what the first five
seeds give: a change to anything they draw shows there, and has a place only where the generator was at fault.
"""

FIXED = tuple(range(300, 340))  # forty seeds that stay the same
