"""Season: which day, from where, with how much gas: many launches of one flight compared."""
