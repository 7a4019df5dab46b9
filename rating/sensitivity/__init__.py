"""How sure a place is: what would move it, how far it may lie, and what it hangs on. numpy and scipy only."""
