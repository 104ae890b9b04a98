"""Where air is caught going in, and liquid carried out."""
