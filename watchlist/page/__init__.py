"""Pure text: sentences, columns and lists for people."""
