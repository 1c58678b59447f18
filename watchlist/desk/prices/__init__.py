"""The market as one's own sales tell it: fitted, asked, weighed and mended."""
