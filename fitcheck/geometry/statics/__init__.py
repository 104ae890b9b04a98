"""Slings, beams, plates and sprung sheet."""
