"""Arrays in, arrays out: combining scores, ranking, season-relative views and agreement. numpy only."""
