"""The parts that screens are made of; each can be made alone."""
