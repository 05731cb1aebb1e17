"""What happened: events, what each of them means, and the balance that always holds."""
