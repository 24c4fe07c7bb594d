"""What can be wrong with the machine: causes, never symptoms."""
