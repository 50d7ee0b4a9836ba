"""Watertight solids of the set-out wall and its room, in metres, ready for light, stills and GLB."""
