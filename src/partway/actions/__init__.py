"""One function for each thing a person does. The rim calls these and shows what they return."""
