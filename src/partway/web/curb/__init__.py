"""The curb: worth lifting? Ten seconds, one hand."""
