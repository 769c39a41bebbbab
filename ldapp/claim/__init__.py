"""The nouns of a claim as frozen records, used by everything else."""
