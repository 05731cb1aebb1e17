"""What a haul shows: the plan with its reasons, the load sheet, what a ticket should say."""
