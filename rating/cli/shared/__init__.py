"""What commands share: their options, opening the season, refusing a call, printing, tables."""
