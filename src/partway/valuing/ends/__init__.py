"""Where the mass that came in ended: kept out of the landfill or not, by what way, and what that spared."""
