"""What goes into the pocket: all that is needed away from the machine, worked out and in words."""
