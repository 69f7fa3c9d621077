"""The judgement before the pattern: one module for each idea a finding can come from."""
