"""The same bird under several numbers: proposed with the evidence, decided by people."""
