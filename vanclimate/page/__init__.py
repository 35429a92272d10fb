"""The page that the client keeps: an answer as two sheets of paper, in one file."""
