"""After the hammer: what became of a parcel and of each piece, what is owed and to be done by when. Pure."""
