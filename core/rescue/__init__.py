"""First-row rescue: what to do, without ripping, when chain or first row don't come out."""
