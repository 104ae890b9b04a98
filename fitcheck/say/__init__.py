"""Wording that questions share: tables, lengths, how a part hangs, cautions as sentences."""
