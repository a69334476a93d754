"""Held cells marked for the person who typed them, and the corrections that come back."""
