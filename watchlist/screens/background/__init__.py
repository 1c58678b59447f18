"""Work beside the screens: who writes, what goes on, how far it is, what has changed."""
