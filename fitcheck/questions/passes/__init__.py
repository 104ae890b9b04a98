"""In how many passes every bit of a part gets wet, turned how between them."""
