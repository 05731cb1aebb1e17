"""State to report: dataclasses that the rim prints or serialises. No HTML, no printing."""
