"""What is handed out: one writer a format, all from the same values."""
