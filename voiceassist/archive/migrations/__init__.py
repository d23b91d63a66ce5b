"""How the tables of the archive came about, step by step; applied steps are never edited."""
