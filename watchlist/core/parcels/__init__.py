"""Lots that travel together: which share a parcel, what it costs, and what each of them costs in it."""
