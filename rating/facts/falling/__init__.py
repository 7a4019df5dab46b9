"""How cards fall: lines, collation, and what packs, boxes and cases hold of any set of cards."""
