"""After the hammer: parcels on their way, pieces held, a piece in the hand, how complete a series is."""
