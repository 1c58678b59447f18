"""Every source asked, and what came taken in."""
