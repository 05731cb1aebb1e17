"""The papers that commands write."""
