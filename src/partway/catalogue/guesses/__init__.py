"""Things that no catalogue has: from what somebody says of one, the anatomy it is taken to have until it is opened."""
