"""From TOML files to grades, cautions and anatomies. What a bad file is told stands here, too."""
