"""The commands that help with the program itself: its words, whether all is well, completion."""
