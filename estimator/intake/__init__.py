"""What comes in: files read, every fault named by file, row and column; nothing half-taken."""
