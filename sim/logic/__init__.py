"""The logic bench: traces, forces and prints, all read from the running tables and the live saw."""
