"""What a person types: texts of fields to a want, terms, a source or a lot, or to one sentence. One check a record."""
