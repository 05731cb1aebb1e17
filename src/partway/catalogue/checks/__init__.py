"""What a catalogue must hold to: masses, work, hazards and shape of every anatomy, and all findings together."""
