"""The terminal user interface: screens over the engine's door. No engineering here."""
