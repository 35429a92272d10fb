"""What puts heat or water in a zone: air conditioner, fridge, people, loads."""
