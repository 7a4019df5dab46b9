"""The commands that help with the program itself: completion."""
