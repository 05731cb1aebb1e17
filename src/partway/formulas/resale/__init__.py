"""How likely and how soon a thing on offer sells, and for how much: what is learned of it from sales."""
