"""https for a phone: an authority of one's own, the certificate it signs, or one that the user brings."""
