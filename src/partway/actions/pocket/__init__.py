"""What a phone noted without signal, decided by the desk once it is back."""
