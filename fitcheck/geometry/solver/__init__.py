"""What a general constraint solver is asked, and how."""
