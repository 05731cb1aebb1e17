"""The app on a socket: who may ask, how failures are answered, what is saved under a key."""
