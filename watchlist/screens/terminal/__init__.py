"""What stands between the program and the terminal: its keys, its bytes, its signals."""
