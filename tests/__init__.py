"""The tests mirror the rooms of the engine and the screens."""
