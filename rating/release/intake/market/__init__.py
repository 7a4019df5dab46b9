"""What sold lists and lists of slot prices share: cells read by what is in them."""
