"""Plans as somebody asks for them: searched for in the background, defended line by line, changed by sliders."""
