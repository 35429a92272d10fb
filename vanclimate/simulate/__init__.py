"""The compiled loop and its runs; the only place where shell, equipment and energy meet."""
