"""The screens, in Textual; view state only."""
