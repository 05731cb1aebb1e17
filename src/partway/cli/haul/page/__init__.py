"""The plan as a page to work from: cautions, the bench, the loads, what stays, the money."""
