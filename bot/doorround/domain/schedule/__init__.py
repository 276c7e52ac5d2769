"""What is due when, who is reminded, in which order doors are walked. Imports domain."""
