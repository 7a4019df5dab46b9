"""What is true: the league, a release, its market, and the tables that say so."""
