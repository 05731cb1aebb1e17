"""Pictures and charts: the only place that knows pixels."""
