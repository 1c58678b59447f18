"""What a collector reads first, and the calendar that is handed out."""
