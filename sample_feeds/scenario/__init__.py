"""The invented country of Orvany: its coins, its market, its venues and one morning's lots. Standard library only."""
