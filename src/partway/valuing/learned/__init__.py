"""What one's own record teaches: functions of the events, never stored."""
