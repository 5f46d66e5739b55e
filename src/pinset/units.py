"""Conversions, used only at the edges: what people type in, what they are shown."""
