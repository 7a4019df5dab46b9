"""What a maker and the market say about a release: its sheet, checklist, odds, prices and sales."""
