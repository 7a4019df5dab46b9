"""The commands of every day, a module each, from intake to what-if."""
