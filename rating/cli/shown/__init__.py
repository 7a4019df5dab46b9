"""What commands print of a value: its tables and the sentences around them."""
