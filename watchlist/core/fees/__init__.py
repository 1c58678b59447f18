"""What a venue asks: premiums, taxes, increments; the all-in cost and the bid limit."""
