"""The workspace on the command line: today, the app, the demo, the doctor, files."""
