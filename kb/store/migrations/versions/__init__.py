"""One file for each step; a step is never edited once it has been issued."""
