"""Published tables with their passports, and one small module of look-ups per family."""
