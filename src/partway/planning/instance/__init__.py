"""From a scenario to the numbers of one plan: what there is, who takes it at what price, in which parcels."""
