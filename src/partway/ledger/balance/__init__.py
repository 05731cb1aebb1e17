"""What must agree: mass in and out, recounts against what should be there, and what cannot all be true."""
