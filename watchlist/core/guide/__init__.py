"""A guide to a series: what each issue brings in each grade, how scarce it is, how it moved. Pure."""
