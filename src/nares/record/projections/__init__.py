"""The tables that pages and statistics read, folded from entries. `fold` joins the groups."""
