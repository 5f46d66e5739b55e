"""How a core may go on by every way its load may conduct heat that its readings allow."""
