"""What is said: sentences from numbers, in the unit the person chose."""
