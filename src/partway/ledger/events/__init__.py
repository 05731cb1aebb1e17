"""What can happen: the kinds of events, their form as JSON, what each means, and their ids."""
