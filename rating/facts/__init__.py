"""Facts: what follows from a release's files by arithmetic. Never an opinion."""
