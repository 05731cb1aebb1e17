"""What every action shares: whose book, how typed text is read, which thing is meant, and how the answer is put."""
